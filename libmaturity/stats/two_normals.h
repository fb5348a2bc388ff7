#pragma once

#include <optional>
#include <vector>

namespace maturity {

/// Two normal groups of one spread, fitted to values.
struct TwoNormals {
  double low_mean = 0.0;
  double high_mean = 0.0;
  /// Of both groups.
  double sd = 0.0;
  /// Share of the values in the lower group, kLeastGroup..1 - kLeastGroup.
  double low_share = 0.5;
  /// Twice the log of the ratio of likelihoods, two groups against one normal; at least 0.
  double statistic = 0.0;
};

/// Smallest share of the values that makes a group: one slip of the pen is none.
inline constexpr double kLeastGroup = 0.1;

/// The likeliest two groups, by expectation and maximisation (Dempster, Laird and Rubin 1977, from
/// memory) from several cuts of the sorted values. NaN are skipped. Empty for fewer than 8 values
/// or values without spread.
std::optional<TwoNormals> fit_two_normals(const std::vector<double>& values);

/// What the statistic exceeds in 1 of 100 samples of n normal values (n >= 20): the ratio does not
/// follow a chi-square law here, so by simulation (two_normals.cpp says how).
double two_normals_limit(double n);

}  // namespace maturity
