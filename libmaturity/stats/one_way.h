#pragma once

#include <vector>

namespace maturity {

/// One-way analysis of variance with its variance components (groups taken as random).
struct OneWay {
  int groups = 0;
  int count = 0;
  /// Plain mean of all values.
  double mean = 0.0;
  double between_sum_of_squares = 0.0;
  double within_sum_of_squares = 0.0;
  double between_mean_square = 0.0;
  double within_mean_square = 0.0;
  double f_statistic = 0.0;
  double p_value = 0.0;
  double r_squared = 0.0;
  double residual_sd = 0.0;
  /// ANOVA estimate of the variance between groups; negative estimates are kept in `raw`, 0 here.
  double between_variance = 0.0;
  double raw_between_variance = 0.0;
  double within_variance = 0.0;
  /// between / (between + within), 0..1.
  double intraclass_correlation = 0.0;
  /// Best linear unbiased predictions of the groups' deviations, in the order given.
  std::vector<double> group_effects;
  /// Standard error of the plain mean with groups as the units drawn, and what ignoring the groups
  /// would claim (sd of all values / sqrt(count)).
  double clustered_se = 0.0;
  double naive_se = 0.0;
};

/// Each entry of `groups` holds the values of one group. At least 2 groups, none empty, and at
/// least one group with 2 values; finite. Throws std::invalid_argument otherwise. Formulas:
/// textbook ANOVA estimators (Searle, Casella, McCulloch 1992, "Variance Components", from memory).
OneWay analyse_one_way(const std::vector<std::vector<double>>& groups);

}  // namespace maturity
