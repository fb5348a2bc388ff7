#include "tools/simulate/flowerings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <numeric>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/readiness/flowering_estimate.h"
#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/real_fruit.h"
#include "tools/simulate/reliability_bins.h"
#include "tools/simulate/scenario.h"
#include "tools/simulate/way_tally.h"

namespace maturity::simulate {

namespace {

constexpr std::size_t kBlockTrees = 150;
constexpr double kCropSpread = 0.47;
constexpr double kTreePart = 0.2;

struct FloweringBlock {
  std::string what;
  /// Share of trees (or of fruit) of the late flowering, and SD of a flowering that it lies behind.
  double late = 0.3;
  double behind = 2.0;
  bool by_tree = true;
  std::size_t trees = 15;
  int fruit_per_tree = 1;
  /// Fruit on a late tree for each on an early one.
  double late_crop = 1.0;
};

struct DrawnFlowerings {
  BlockData data;
  Flowerings flowerings;
  Flowerings counted;
  double mean = 0.0;
  double share = 0.0;
};

/// Both flowerings of a block whose true share is given.
DrawnFlowerings draw(const FloweringBlock& block, double share, RandomStream& random) {
  std::vector<std::size_t> order(kBlockTrees);
  std::iota(order.begin(), order.end(), std::size_t{0});
  for (std::size_t i = order.size(); i > 1; --i) {
    std::swap(order[i - 1], order[random.below(i)]);
  }
  const auto late_trees = static_cast<std::size_t>(std::lround(block.late * kBlockTrees));
  std::vector<double> crop;
  std::array<double, 2> of_flowering{};
  for (std::size_t t = 0; t < kBlockTrees; ++t) {
    const std::size_t late = t < late_trees ? 1 : 0;
    crop.push_back(std::exp(kCropSpread * normal_number(random)) *
                   (late == 1 ? block.late_crop : 1.0));
    of_flowering.at(late) += crop.back();
  }
  const double w =
      block.by_tree ? of_flowering[1] / (of_flowering[0] + of_flowering[1]) : block.late;
  // The early flowering's mean, by halving, so that the share is as asked.
  double low = kMinimum - 10.0;
  double high = kMinimum + 20.0;
  constexpr int kHalvings = 60;
  for (int i = 0; i < kHalvings; ++i) {
    const double z = (0.5 * (low + high) - kMinimum) / kFruitSd;
    const double here = (1.0 - w) * normal_cdf(z) + w * normal_cdf(z - block.behind);
    (here < share ? low : high) = 0.5 * (low + high);
  }
  DrawnFlowerings drawn;
  drawn.share = share;
  drawn.mean = low - w * block.behind * kFruitSd;
  drawn.flowerings.names = {"early", "late"};
  for (std::size_t t = 0; t < block.trees; ++t) {
    const double effect = kFruitSd * std::sqrt(kTreePart) * normal_number(random);
    for (int j = 0; j < block.fruit_per_tree; ++j) {
      const bool late = block.by_tree ? order[t] < late_trees : random.uniform() < block.late;
      drawn.data.tree.push_back(std::to_string(t));
      drawn.data.oven.push_back(low - (late ? block.behind * kFruitSd : 0.0) + effect +
                                kFruitSd * std::sqrt(1.0 - kTreePart) * normal_number(random) +
                                kOvenSd * normal_number(random));
      drawn.flowerings.of_fruit.emplace_back(late ? "late" : "early");
    }
  }
  drawn.counted = drawn.flowerings;
  const double late_hidden = std::exp(kGroupCountError * std::sqrt(2.0) * normal_number(random));
  for (std::size_t t = 0; t < kBlockTrees; ++t) {
    const bool late = t < late_trees;
    drawn.counted.of_tree.emplace_back(late ? "late" : "early");
    drawn.counted.crop.push_back(crop[t] * std::exp(kTreeCountError * normal_number(random)) *
                                 (late ? late_hidden : 1.0));
  }
  return drawn;
}

/// What one way came to over blocks of any share, and at those of kReadyAt.
struct Tally {
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

constexpr std::array<const char*, 3> kWays{"together", "apart, shares from the sample",
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
  std::array<ReliabilityBins, kWays.size()> reliability;
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    const FloweringBlock& block = blocks[b];
    std::array<Tally, kWays.size()> tallies;
    for (int r = 0; r < settings.replicates; ++r) {
      RandomStream random(settings.seed + (10ULL << 40U) + (static_cast<std::uint64_t>(b) << 24U) +
                          2U * static_cast<std::uint64_t>(r));
      constexpr double kNearest = 0.3;
      constexpr double kFarthest = 2.2;
      const double share = normal_cdf(kNearest + (kFarthest - kNearest) * random.uniform());
      const DrawnFlowerings drawn = draw(block, share, random);
      const auto said = estimate(drawn, block.by_tree);
      for (std::size_t w = 0; w < kWays.size(); ++w) {
        tallies.at(w).count(said.at(w), drawn);
        if (w < 2 || block.by_tree) {
          reliability.at(w).add(*said.at(w).readiness / 100.0, share >= 0.9);
        }
      }
      for (std::size_t k = 0; k < kReadyAt.size(); ++k) {
        const auto at = estimate(draw(block, kReadyAt.at(k), random), block.by_tree);
        for (std::size_t w = 0; w < kWays.size(); ++w) {
          tallies.at(w).ready.at(k) += at.at(w).decision == Decision::ready ? 1.0 : 0.0;
        }
      }
    }
    for (std::size_t w = 0; w < (block.by_tree ? kWays.size() : 2); ++w) {
      const Tally& one = tallies.at(w);
      out << "| " << block.what << " | " << block.trees << " x " << block.fruit_per_tree << " | "
          << kWays.at(w);
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
  for (const char* way : kWays) {
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
