#include "tools/simulate/flowering_blocks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <vector>

#include "libmaturity/stats/normal.h"
#include "tools/simulate/real_fruit.h"
#include "tools/simulate/scenario.h"

namespace maturity::simulate {

namespace {

constexpr std::size_t kBlockTrees = 150;
constexpr double kCropSpread = 0.47;
constexpr double kTreePart = 0.2;

}  // namespace

DrawnFlowerings draw_flowerings(const FloweringBlock& block, double share, RandomStream& random) {
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

}  // namespace maturity::simulate
