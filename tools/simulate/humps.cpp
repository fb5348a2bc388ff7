#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "tools/simulate/flowering_blocks.h"
#include "tools/simulate/flowerings.h"
#include "tools/simulate/real_fruit.h"
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

struct HumpBlock {
  FloweringBlock of;
  bool metered = false;
};

/// All fruit by a meter (error 1.0), the oven for the first of each tree only.
void read_by_meter(BlockData& data, RandomStream& random) {
  data.meter = data.oven;
  for (std::size_t i = 0; i < data.oven.size(); ++i) {
    data.meter[i] += normal_number(random);
    if (i > 0 && data.tree[i] == data.tree[i - 1]) {
      data.oven[i] = std::numeric_limits<double>::quiet_NaN();
    }
  }
}

}  // namespace

void print_humps(std::ostream& out, const Settings& settings) {
  std::vector<Scenario> scenarios = plain_scenarios();
  for (Scenario& one : awkward_scenarios()) {
    scenarios.push_back(one);
  }
  out << "| blocks | two_humps | left_skew |\n|---|---|---|\n";
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  BlockOptions options;
  options.meter_slope = settings.method.meter_slope;
  options.meter_slope_sd = settings.method.meter_slope_sd;
  options.meter_sep_pct = settings.method.meter_sep;
  options.meter_sep_n = settings.method.meter_sep_n;
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    const Sampler sampler(scenarios[s], seed_of(settings, 15, s));
    FlagRates rates;
    for (int r = 0; r < settings.replicates; ++r) {
      rates.count(estimate_block(sampler.draw(r).data, rule, options));
    }
    out << "| " << scenarios[s].name << ", " << scenarios[s].what;
    rates.print(out, settings.replicates);
  }
  const std::vector<HumpBlock> blocks{
      {{"", 0.3, 2.0, true, 30, 1, 1.0}},       {{"", 0.3, 3.0, true, 30, 1, 1.0}},
      {{"", 0.3, 4.0, true, 30, 1, 1.0}},       {{"", 0.5, 3.0, true, 30, 1, 1.0}},
      {{"", 0.5, 4.0, true, 30, 1, 1.0}},       {{"", 0.3, 3.0, true, 60, 1, 1.0}},
      {{"", 0.5, 3.0, true, 60, 1, 1.0}},       {{"", 0.3, 3.0, false, 30, 2, 1.0}},
      {{"", 0.3, 0.0, true, 20, 4, 1.0}, true}, {{"", 0.3, 3.0, true, 20, 4, 1.0}, true},
      {{"", 0.3, 4.0, true, 20, 4, 1.0}, true}};
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    FlagRates rates;
    for (int r = 0; r < settings.replicates; ++r) {
      RandomStream random(seed_of(settings, 16, b) + 2U * static_cast<std::uint64_t>(r));
      constexpr double kAnyShare = 0.8;
      BlockData data = draw_flowerings(blocks[b].of, kAnyShare, random).data;
      if (blocks[b].metered) {
        read_by_meter(data, random);
      }
      rates.count(estimate_block(data, rule, options));
    }
    const FloweringBlock& of = blocks[b].of;
    out << "| " << of.trees << " trees x " << of.fruit_per_tree << ", "
        << (blocks[b].metered ? "one of each tree in the oven, all metered" : "all oven") << "; "
        << decimals(100.0 * of.late, 0) << " % of " << (of.by_tree ? "trees" : "fruit") << " "
        << decimals(of.behind, 0) << " SD behind";
    rates.print(out, settings.replicates);
  }
}

}  // namespace maturity::simulate
