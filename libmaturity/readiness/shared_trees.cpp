#include "libmaturity/readiness/shared_trees.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <string>

#include "libmaturity/readiness/block_model.h"

namespace maturity {

namespace {

constexpr double kMostCorrelated = 0.95;

/// How many read fruit each tree gave, as a share of those of the flowering.
std::map<std::string, double> tree_weights(const BlockData& data) {
  std::map<std::string, double> weights;
  double sum = 0.0;
  for (std::size_t i = 0; i < data.tree.size(); ++i) {
    if (!std::isnan(value_at(data.oven, i)) || data.metered(i)) {
      weights[data.tree[i]] += 1.0;
      sum += 1.0;
    }
  }
  for (auto& [tree, weight] : weights) {
    weight /= sum;
  }
  return weights;
}

}  // namespace

Eigen::MatrixXd shared_trees(const std::vector<BlockData>& data,
                             const std::vector<EstimatedBlock>& groups) {
  const auto size = static_cast<Eigen::Index>(groups.size());
  Eigen::MatrixXd correlation = Eigen::MatrixXd::Identity(size, size);
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const std::map<std::string, double> own = tree_weights(data[g]);
    for (std::size_t h = 0; h < g; ++h) {
      const BlockEstimate& a = groups[g].estimate;
      const BlockEstimate& b = groups[h].estimate;
      if (!a.tree_variance || !b.tree_variance) {
        continue;
      }
      double common = 0.0;
      for (const auto& [tree, weight] : tree_weights(data[h])) {
        const auto found = own.find(tree);
        common += found == own.end() ? 0.0 : weight * found->second;
      }
      const double r = common * std::sqrt(*a.tree_variance * *b.tree_variance) /
                       (a.mean_dm_sd.value() * b.mean_dm_sd.value());
      const auto at_g = static_cast<Eigen::Index>(g);
      const auto at_h = static_cast<Eigen::Index>(h);
      correlation(at_g, at_h) = std::min(r, kMostCorrelated);
      correlation(at_h, at_g) = correlation(at_g, at_h);
    }
  }
  return correlation;
}

}  // namespace maturity
