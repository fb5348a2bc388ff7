#include "tools/simulate/flowerings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "libmaturity/readiness/flowering_estimate.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/flowering_blocks.h"
#include "tools/simulate/real_pairs.h"
#include "tools/simulate/reliability_bins.h"
#include "tools/simulate/scenario.h"
#include "tools/simulate/way_tally.h"

namespace maturity::simulate {

namespace {

/// What one way came to over blocks of any share, and at those of kReadyAt.
struct FloweringTally {
  double blocks = 0.0;
  double joined = 0.0;
  double mean_95 = 0.0;
  double mean_80 = 0.0;
  double share_95 = 0.0;
  double share_80 = 0.0;
  double width = 0.0;
  double bias = 0.0;
  std::array<double, kReadyAt.size()> ready{};

  void count(const BlockEstimate& block, const DrawnFlowerings& drawn) {
    const auto covers = [](const std::optional<Interval>& one, double value) {
      return one->low <= value && value <= one->high ? 1.0 : 0.0;
    };
    blocks += 1.0;
    mean_95 += covers(block.mean_dm_interval, drawn.mean);
    mean_80 += covers(block.mean_dm_interval_80, drawn.mean);
    share_95 += covers(block.share_interval, drawn.share);
    share_80 += covers(block.share_interval_80, drawn.share);
    width += block.mean_dm_interval->high - block.mean_dm_interval->low;
    bias += *block.mean_dm_pct - drawn.mean;
  }
};

constexpr std::array<const char*, 3> kFloweringWays{"together", "apart, shares from the sample",
                                                    "apart, shares from counted trees"};

/// Joined where a flowering was drawn at all; where not, it stays as it is: all fruit together.
std::array<BlockEstimate, 3> estimate(const DrawnFlowerings& drawn, bool counted) {
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  const JoinedEstimate sampled = estimate_flowerings(drawn.data, drawn.flowerings, rule);
  if (!counted) {
    return {sampled.together, sampled.block, sampled.block};
  }
  return {sampled.together, sampled.block,
          estimate_flowerings(drawn.data, drawn.counted, rule).block};
}

}  // namespace

void print_flowerings(std::ostream& out, const Settings& settings) {
  const std::vector<FloweringBlock> blocks{
      {"30 % of trees two SD behind", 0.3, 2.0, true, 15, 1, 1.0},
      {"30 % of trees two SD behind", 0.3, 2.0, true, 30, 1, 1.0},
      {"half of the trees one SD behind", 0.5, 1.0, true, 15, 1, 1.0},
      {"half of the trees one SD behind", 0.5, 1.0, true, 30, 1, 1.0},
      {"30 % of trees two SD behind, with twice the fruit", 0.3, 2.0, true, 30, 1, 2.0},
      {"30 % of fruit two SD behind", 0.3, 2.0, false, 15, 2, 1.0},
      {"half of the fruit one SD behind", 0.5, 1.0, false, 15, 2, 1.0}};
  out << "| block | trees x fruit | way | mean 95 | mean 80 | share 95 | share 80 | width of mean "
         "95 | bias of mean | \"ready\" at 0.85 | at 0.89 | at 0.95 |\n"
         "|---|---|---|---|---|---|---|---|---|---|---|---|\n";
  std::array<ReliabilityBins, kFloweringWays.size()> reliability;
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    const FloweringBlock& block = blocks[b];
    std::array<FloweringTally, kFloweringWays.size()> tallies;
    for (int r = 0; r < settings.replicates; ++r) {
      RandomStream random(seed_of(settings, 14, b) + 2U * static_cast<std::uint64_t>(r));
      constexpr double kNearest = 0.3;
      constexpr double kFarthest = 2.2;
      const double share = normal_cdf(kNearest + (kFarthest - kNearest) * random.uniform());
      const DrawnFlowerings drawn = draw_flowerings(block, share, random);
      const auto said = estimate(drawn, block.by_tree);
      for (std::size_t w = 0; w < kFloweringWays.size(); ++w) {
        tallies.at(w).count(said.at(w), drawn);
        if (w < 2 || block.by_tree) {
          reliability.at(w).add(*said.at(w).readiness / 100.0, share >= 0.9);
        }
      }
      for (std::size_t k = 0; k < kReadyAt.size(); ++k) {
        const auto at = estimate(draw_flowerings(block, kReadyAt.at(k), random), block.by_tree);
        for (std::size_t w = 0; w < kFloweringWays.size(); ++w) {
          tallies.at(w).ready.at(k) += at.at(w).decision == Decision::ready ? 1.0 : 0.0;
        }
      }
    }
    for (std::size_t w = 0; w < (block.by_tree ? kFloweringWays.size() : 2); ++w) {
      const FloweringTally& one = tallies.at(w);
      out << "| " << block.what << " | " << block.trees << " x " << block.fruit_per_tree << " | "
          << kFloweringWays.at(w);
      for (const double sum : {one.mean_95, one.mean_80, one.share_95, one.share_80}) {
        out << " | " << decimals(sum / one.blocks, 3);
      }
      out << " | " << decimals(one.width / one.blocks, 2) << " | "
          << decimals(one.bias / one.blocks, 2);
      for (const double ready : one.ready) {
        out << " | " << decimals(ready / one.blocks, 3);
      }
      out << " |\n";
    }
  }
  out << "\n| stated readiness |";
  for (const char* way : kFloweringWays) {
    out << " " << way << ": stated, true (SE), blocks |";
  }
  out << "\n|---|---|---|---|\n";
  for (std::size_t bin = 0; bin < ReliabilityBins::count(); ++bin) {
    out << "| " << ReliabilityBins::label(bin);
    for (const ReliabilityBins& bins : reliability) {
      out << " | " << bins.cell(bin);
    }
    out << " |\n";
  }
}

}  // namespace maturity::simulate
