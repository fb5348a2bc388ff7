#include "libmaturity/forecast/date_range.h"

#include <cmath>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

std::optional<int> first_day_with(const GainForecast& forecast, double chance) {
  const int first = static_cast<int>(std::ceil(forecast.last_day));
  for (int day = first; day <= forecast.last_day + forecast.horizon_days; ++day) {
    if (forecast.probability(day).value() >= chance) {
      return day;
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<DateRange> date_range(const GainForecast& forecast, double level) {
  if (!(level > 0.0 && level < 1.0)) {
    reject_argument("level", level, "between 0 and 1");
  }
  if (!forecast.gain_per_week || *forecast.gain_per_week < 0.0) {
    return std::nullopt;
  }
  DateRange range;
  range.level = level;
  range.from = first_day_with(forecast, (1.0 - level) / 2.0);
  range.until = first_day_with(forecast, (1.0 + level) / 2.0);
  return range;
}

}  // namespace maturity
