#pragma once

#include <string>
#include <vector>

namespace maturity {

/// Standard error of a mean from `trees` trees with `fruit` fruit on each, both drawn at random
/// from many: sqrt(between/trees + within/(trees fruit)). Variances in squared units of the value,
/// >= 0. All formulas of this file: textbook two-stage sampling (Cochran 1977, "Sampling
/// Techniques", from memory). Throws std::invalid_argument.
double two_stage_standard_error(double between_variance, double within_variance, int trees,
                                int fruit);

/// How many times clustering inflates the variance: 1 + (fruit - 1) intraclass correlation. `fruit`
/// per tree (or per bin) >= 1, correlation within 0..1.
double design_effect(double fruit, double intraclass_correlation);

/// Fruit per tree that buys the smallest error for the money, unrounded:
/// sqrt(cost_ratio (1 - icc)/icc), cost_ratio = cost of a tree over cost of a fruit. icc within
/// (0,1).
double best_fruit_per_tree(double cost_ratio, double intraclass_correlation);

/// Smallest number of trees whose mean has at most this standard error.
int trees_for_standard_error(double standard_error, double between_variance, double within_variance,
                             int fruit);

/// A mean whose error credits that values come in clusters (trees, bins).
struct ClusteredMean {
  double mean = 0.0;
  /// NaN for a single cluster: nothing tells how clusters differ.
  double standard_error = 0.0;
  /// Variance over that of as many independent values; at least 0, NaN for a single cluster or
  /// values without spread.
  double design_effect = 0.0;
  int clusters = 0;
  int count = 0;
};

/// Mean of the values and its standard error from the spread of cluster totals,
/// sqrt(k/(k-1) sum_cluster (sum of residuals)^2)/n (linearised ratio variance). No model of the
/// clusters is assumed; with fewer than about 10 clusters it is itself uncertain. `values` and
/// `clusters` of one length >= 1, values finite.
ClusteredMean clustered_mean(const std::vector<double>& values,
                             const std::vector<std::string>& clusters);

}  // namespace maturity
