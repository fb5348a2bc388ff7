#pragma once

#include <optional>
#include <vector>

namespace maturity {

/// Largest difference between duplicates of one sample that passes, points of %. A default for the
/// user to set; AOAC 934.06 (dried fruit, READ) asks the same of its duplicates.
inline constexpr double kDuplicateLimitPct = 0.2;

/// Replicates of one sample drawn together.
struct Duplicates {
  double mean_pct = 0.0;
  /// Largest less smallest, %; 0 for a single reading.
  double apart_pct = 0.0;
  /// True where they lie further apart than the limit: weigh again where a sample is left.
  bool too_far_apart = false;
  /// Standard deviation of the error of the mean, %.
  double error_sd_pct = 0.0;
  int readings = 0;
};

/// `dm_pct` (n >= 1, each within 3..40) with the error SD of each (n). The error of the mean is
/// that of the readings, or their observed spread where that is larger. limit_pct >= 0. Throws
/// std::invalid_argument.
Duplicates combine_duplicates(const std::vector<double>& dm_pct,
                              const std::vector<double>& error_sd_pct,
                              double limit_pct = kDuplicateLimitPct);

/// Dry matter of both cheeks of one fruit, %.
struct CheekPair {
  double one_pct = 0.0;
  double other_pct = 0.0;
};

/// Standard deviation of one cheek about its fruit's mean, %, with the reading error taken out:
/// sqrt(max(0, mean(d^2)/2 - error^2)), d = difference of the cheeks. It is the error of a fruit
/// known by a single cheek, besides that of the oven. Empty for fewer than 5 pairs.
std::optional<double> cheek_sd_pct(const std::vector<CheekPair>& pairs, double error_sd_pct);

/// Standard deviation of the error of a fruit that is the mean of its cheeks (n >= 1), %, each with
/// its own error (n) and `cheek_sd` about the fruit: sqrt(sum(error^2 + cheek_sd^2))/n. Throws
/// std::invalid_argument for no cheek or a value below 0.
double fruit_error_sd_pct(const std::vector<double>& cheek_error_sd_pct, double cheek_sd);

}  // namespace maturity
