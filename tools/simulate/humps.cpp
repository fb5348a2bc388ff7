#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "tools/simulate/flowering_blocks.h"
#include "tools/simulate/flowerings.h"
#include "tools/simulate/real_pairs.h"

namespace maturity::simulate {

namespace {

/// How often an estimate raises the flags of two groups and of a low tail.
struct FlagRates {
  double humps = 0.0;
  double skew = 0.0;

  void count(const BlockEstimate& block) {
    const auto has = [&](BlockFlag flag) {
      return std::find(block.flags.begin(), block.flags.end(), flag) != block.flags.end();
    };
    humps += has(BlockFlag::two_humps) ? 1.0 : 0.0;
    skew += has(BlockFlag::left_skew) ? 1.0 : 0.0;
  }
  void print(std::ostream& out, double replicates) const {
    out << " | " << decimals(humps / replicates, 3) << " | " << decimals(skew / replicates, 3)
        << " |\n";
  }
};

}  // namespace

void print_humps(std::ostream& out, const Settings& settings) {
  std::vector<Scenario> scenarios = plain_scenarios();
  for (Scenario& one : awkward_scenarios()) {
    scenarios.push_back(one);
  }
  out << "| blocks | two_humps | left_skew |\n|---|---|---|\n";
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    const Sampler sampler(scenarios[s], seed_of(settings, 15, s));
    FlagRates rates;
    for (int r = 0; r < settings.replicates; ++r) {
      BlockOptions options;
      options.meter_slope = settings.method.meter_slope;
      options.meter_slope_sd = settings.method.meter_slope_sd;
      options.meter_sep_pct = settings.method.meter_sep;
      options.meter_sep_n = settings.method.meter_sep_n;
      const BlockEstimate block = estimate_block(sampler.draw(r).data, rule, options);
      rates.count(block);
    }
    out << "| " << scenarios[s].name << ", " << scenarios[s].what;
    rates.print(out, settings.replicates);
  }
  const std::vector<FloweringBlock> blocks{
      {"", 0.3, 2.0, true, 30, 1, 1.0}, {"", 0.3, 3.0, true, 30, 1, 1.0},
      {"", 0.3, 4.0, true, 30, 1, 1.0}, {"", 0.5, 3.0, true, 30, 1, 1.0},
      {"", 0.5, 4.0, true, 30, 1, 1.0}, {"", 0.3, 3.0, true, 60, 1, 1.0},
      {"", 0.5, 3.0, true, 60, 1, 1.0}, {"", 0.3, 3.0, false, 30, 2, 1.0}};
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    FlagRates rates;
    for (int r = 0; r < settings.replicates; ++r) {
      RandomStream random(seed_of(settings, 16, b) + 2U * static_cast<std::uint64_t>(r));
      constexpr double kAnyShare = 0.8;
      const BlockEstimate block =
          estimate_block(draw_flowerings(blocks[b], kAnyShare, random).data, rule);
      rates.count(block);
    }
    out << "| " << blocks[b].trees << " trees x " << blocks[b].fruit_per_tree << ", all oven; "
        << decimals(100.0 * blocks[b].late, 0) << " % of "
        << (blocks[b].by_tree ? "trees" : "fruit") << " " << decimals(blocks[b].behind, 0)
        << " SD behind";
    rates.print(out, settings.replicates);
  }
}

}  // namespace maturity::simulate
