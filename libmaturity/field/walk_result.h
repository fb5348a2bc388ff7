#pragma once

#include <optional>
#include <vector>

#include "libmaturity/field/tree_sample.h"

namespace maturity {

/// What a walk's own dry-matter values say about the block, without a model. Variances in squared
/// %.
struct WalkResult {
  int trees = 0;
  int fruit = 0;
  /// Mean of the tree means, %.
  double mean = 0.0;
  /// Parts between trees and between fruit of a tree; empty where no tree has two fruit.
  std::optional<double> between_variance;
  std::optional<double> within_variance;
  /// Error of the mean as if trees were drawn without regard to place; empty for one tree.
  std::optional<double> random_error;
  /// The same with the balance credited; empty without places or for fewer than
  /// kFewestBalancedTrees.
  std::optional<double> balanced_error;
  /// (balanced_error / random_error)^2, at most 1: below 1 where neighbours are alike.
  std::optional<double> balance;
};

/// Fewest trees whose neighbours say anything about a trend.
inline constexpr int kFewestBalancedTrees = 8;

/// Variance parts and errors of a walk. `values[t]`: dry matter of the fruit of tree t, %, finite,
/// none empty; `places`: where these trees stand, or empty. ANOVA estimators (one_way.h) and the
/// local mean variance (tree_sample.h). Throws std::invalid_argument.
WalkResult walk_result(const std::vector<std::vector<double>>& values,
                       const std::vector<TreePlace>& places);

}  // namespace maturity
