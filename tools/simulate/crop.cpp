#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/cheeks_and_crop.h"
#include "tools/simulate/real_fruit.h"
#include "tools/simulate/scenario.h"
#include "tools/simulate/way_tally.h"

namespace maturity::simulate {

namespace {

/// SD of the log of a tree's crop: its coefficient of variation is about a half.
constexpr double kCropLogSd = 0.47;

struct CropBlock {
  int trees = 15;
  /// Share of the variance between trees, and the correlation of a tree's level with log crop.
  double between = 0.2;
  double lag = 0.0;
};

struct TreeFruit {
  double crop = 1.0;
  double oven = 0.0;
};

/// Weighed by crop, levels of trees are normal with the same SD, moved by lag x SD of log crop.
std::vector<TreeFruit> draw_trees(const CropBlock& block, double crop_mean, RandomStream& random) {
  const double tree_sd = kFruitSd * std::sqrt(block.between);
  const double equal_chance_mean = crop_mean - tree_sd * block.lag * kCropLogSd;
  std::vector<TreeFruit> trees;
  for (int t = 0; t < block.trees; ++t) {
    const double z = normal_number(random);
    const double own = normal_number(random);
    const double level = tree_sd * (block.lag * z + std::sqrt(1.0 - block.lag * block.lag) * own);
    const double fruit = kFruitSd * std::sqrt(1.0 - block.between) * normal_number(random);
    trees.push_back({std::exp(kCropLogSd * z),
                     equal_chance_mean + level + fruit + kOvenSd * normal_number(random)});
  }
  return trees;
}

/// With crop counted it is a covariate, and the block's mean is over fruit: each tree stands in the
/// random sample with as many fruit as its share of the crop (4 for the average tree).
BlockEstimate estimate_trees(const std::vector<TreeFruit>& trees, bool counted) {
  constexpr double kRows = 4.0;
  double mean_crop = 0.0;
  for (const TreeFruit& tree : trees) {
    mean_crop += tree.crop / static_cast<double>(trees.size());
  }
  BlockData data;
  std::vector<double> crops;
  for (std::size_t t = 0; t < trees.size(); ++t) {
    const double share = kRows * trees[t].crop / mean_crop;
    const int rows = counted ? std::max(1, static_cast<int>(std::lround(share))) : 1;
    for (int i = 0; i < rows; ++i) {
      data.tree.push_back(std::to_string(t));
      data.oven.push_back(i == 0 ? trees[t].oven : std::numeric_limits<double>::quiet_NaN());
      crops.push_back(trees[t].crop);
    }
  }
  BlockOptions options;
  if (counted) {
    data.shape =
        Eigen::Map<const Eigen::VectorXd>(crops.data(), static_cast<Eigen::Index>(crops.size()));
    options.use_shape = UseShape::on;
  }
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  return estimate_block(data, rule, options);
}

}  // namespace

void print_crop(std::ostream& out, const Settings& settings) {
  const std::vector<CropBlock> blocks{{15, 0.2, 0.0}, {15, 0.2, -0.5}, {15, 0.5, -0.8},
                                      {30, 0.2, 0.0}, {30, 0.2, -0.5}, {30, 0.5, -0.8}};
  WayTally::print_head(
      out, "trees | variance between trees | correlation of level and log crop | crop", 4);
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    std::array<WayTally, 2> tallies;
    for (int r = 0; r < settings.replicates; ++r) {
      RandomStream random(settings.seed + (8ULL << 40U) + (static_cast<std::uint64_t>(b) << 24U) +
                          2U * static_cast<std::uint64_t>(r));
      constexpr double kNearest = 0.3;
      constexpr double kFarthest = 2.2;
      const double z = kNearest + (kFarthest - kNearest) * random.uniform();
      const double mean = kMinimum + z * kFruitSd;
      const std::vector<TreeFruit> drawn = draw_trees(blocks[b], mean, random);
      for (const bool counted : {false, true}) {
        tallies.at(counted ? 1 : 0).count(estimate_trees(drawn, counted), mean, normal_cdf(z));
      }
      for (std::size_t k = 0; k < kReadyAt.size(); ++k) {
        const std::vector<TreeFruit> at =
            draw_trees(blocks[b], kMinimum + normal_quantile(kReadyAt.at(k)) * kFruitSd, random);
        for (const bool counted : {false, true}) {
          tallies.at(counted ? 1 : 0).count_ready(estimate_trees(at, counted), k);
        }
      }
    }
    for (const bool counted : {false, true}) {
      out << "| " << blocks[b].trees << " | " << decimals(blocks[b].between, 1) << " | "
          << decimals(blocks[b].lag, 1) << " | " << (counted ? "counted" : "ignored");
      tallies.at(counted ? 1 : 0).print(out, settings.replicates);
    }
  }
}

}  // namespace maturity::simulate
