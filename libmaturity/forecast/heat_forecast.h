#pragma once

#include <optional>
#include <vector>

#include "libmaturity/forecast/date_range.h"
#include "libmaturity/forecast/gain_forecast.h"
#include "libmaturity/forecast/heat_units.h"

namespace maturity {

/// Days at the end of the weather record whose mean is taken to go on.
inline constexpr int kRecentDays = 14;

/// How warm it was of late, degree-days a day: the mean of the last kRecentDays days, and the least
/// and most that any kRecentDays days on end gave.
struct HeatPace {
  double recent = 0.0;
  double slowest = 0.0;
  double fastest = 0.0;
};

/// Pace of days first..last, a run of at least kRecentDays days. Empty where a day is missing or no
/// heat came in the last days. Throws std::invalid_argument as sum_degree_days, or for fewer days.
std::optional<HeatPace> heat_pace(const std::vector<WeatherDay>& weather, int first, int last,
                                  const HeatRecipe& recipe);

/// A forecast along heat units instead of days.
struct HeatForecast {
  /// Its days are those of the calendar after the last visit, at the recent pace; before it, they
  /// are degree-days divided by that pace.
  GainForecast forecast;
  HeatPace pace;
  /// Gain per 100 degree-days, %; empty as that of the forecast.
  std::optional<double> gain_per_100;
  std::optional<double> gain_per_100_sd;
};

/// As forecast_readiness, with the time between visits counted in degree-days and scaled to days at
/// the recent pace, so that priors and horizon mean the same. `day`: days of the visits in the
/// count of `weather`. Empty where a day of weather between the first and the last visit, or one of
/// the kRecentDays before the last visit, is missing: a gap is never filled by a guess. Throws
/// std::invalid_argument as forecast_readiness and sum_degree_days.
std::optional<HeatForecast> forecast_by_heat(
    const std::vector<int>& day, const std::vector<double>& psi, const std::vector<double>& psi_sd,
    double minimum_dm_pct, const std::vector<WeatherDay>& weather, const HeatRecipe& recipe,
    const ForecastOptions& options = {});

/// When a heat target is reached.
struct TargetDay {
  double so_far = 0.0;
  double target = 0.0;
  HeatPace pace;
  /// Days after the last day of weather: at the recent pace, at the fastest and at the slowest that
  /// the record holds; 0 or less: reached. The slowest is empty when it stands still.
  int days = 0;
  int days_fastest = 0;
  std::optional<int> days_slowest;
  /// Days after the last day of weather at 80 and 95 % (target_range.h); empty: reached.
  std::optional<DateRange> range_80;
  std::optional<DateRange> range_95;
};

/// Adds up heat from `first` to `last` and carries it on to the target. Empty where heat_pace is.
/// Throws std::invalid_argument when `start_stage` or `recipe` are not those of the target
/// (target_mismatch), for a target that is not above 0, or as heat_pace.
std::optional<TargetDay> day_of_target(const std::vector<WeatherDay>& weather, int first, int last,
                                       const HeatTarget& target, std::string_view start_stage,
                                       const HeatRecipe& recipe);

}  // namespace maturity
