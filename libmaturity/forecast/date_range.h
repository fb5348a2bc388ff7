#pragma once

#include <optional>

#include "libmaturity/forecast/gain_forecast.h"

namespace maturity {

/// Days between which the block comes to meet its rule, at a level.
struct DateRange {
  double level = 0.8;
  /// First whole day, from the last visit on, when the chance reaches (1 - level)/2; that of the
  /// last visit means "then or before". Empty: not within the horizon.
  std::optional<int> from;
  /// First whole day when it reaches (1 + level)/2. Empty: open, later than the horizon.
  std::optional<int> until;
};

/// Range of the day on which the rule comes to be met: the chance that it is met on a day is read
/// as the chance that the day lies behind, which holds while dry matter rises. Empty without a gain
/// or where dry matter does not rise. Throws std::invalid_argument for a level outside (0, 1).
std::optional<DateRange> date_range(const GainForecast& forecast, double level);

}  // namespace maturity
