#pragma once

#include <vector>

#include "libmaturity/forecast/date_range.h"

namespace maturity {

/// Days after the record that a heat target is looked for; later is an open end.
inline constexpr int kLongestTargetDays = 60;

/// How daily degree-days scatter about their trend.
struct HeatScatter {
  double day_variance = 0.0;
  /// Of a day with the next: warm spells last.
  double autocorrelation = 0.0;
};

/// Scatter about a straight line through the last 56 days at most of `daily` (degree-days a day, in
/// order, at least kRecentDays). The autocorrelation is corrected for its bias (Kendall 1954,
/// Biometrika 41:403, from memory) and, since a short record says little of it, taken together with
/// 28 days at 0.6, a planning guess. Throws std::invalid_argument for fewer days, or values that
/// are negative or not finite.
HeatScatter heat_scatter(const std::vector<double>& daily);

/// Days after the record between which `left` more degree-days (above 0) are there, at a level; its
/// days count from the last day of the record. The mean of the last kRecentDays days goes on; its
/// own error, the scatter to come (days of a first-order autoregression) and a pace that may change
/// by 0.5 degree-days a day in each week (standard deviation, a planning guess) make the spread of
/// the sum after k days, and the first day on which its chance of having reached `left` is
/// (1 -+ level)/2 is an end. An end later than kLongestTargetDays is empty. Throws
/// std::invalid_argument as heat_scatter, for left <= 0 or a level outside (0, 1).
DateRange target_range(double left, const std::vector<double>& daily, double level);

}  // namespace maturity
