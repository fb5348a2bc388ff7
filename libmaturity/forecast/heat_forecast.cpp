#include "libmaturity/forecast/heat_forecast.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>

#include "libmaturity/forecast/target_range.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kWeek = 7.0;
constexpr double kNarrowLevel = 0.8;
constexpr double kWideLevel = 0.95;

}  // namespace

std::optional<HeatPace> heat_pace(const std::vector<WeatherDay>& weather, int first, int last,
                                  const HeatRecipe& recipe) {
  if (last - first + 1 < kRecentDays) {
    reject_argument("first", first,
                    "at least " + std::to_string(kRecentDays) + " days up to the last, " +
                        std::to_string(last));
  }
  if (sum_degree_days(weather, first, last, recipe).missing_days > 0) {
    return std::nullopt;
  }
  HeatPace pace;
  for (int end = first + kRecentDays - 1; end <= last; ++end) {
    const HeatSum sum = sum_degree_days(weather, end - kRecentDays + 1, end, recipe);
    pace.recent = sum.degree_days.value() / kRecentDays;
    const bool is_first = end == first + kRecentDays - 1;
    pace.slowest = is_first ? pace.recent : std::min(pace.slowest, pace.recent);
    pace.fastest = is_first ? pace.recent : std::max(pace.fastest, pace.recent);
  }
  if (pace.recent <= 0.0) {
    return std::nullopt;
  }
  return pace;
}

std::optional<HeatForecast> forecast_by_heat(
    const std::vector<int>& day, const std::vector<double>& psi, const std::vector<double>& psi_sd,
    double minimum_dm_pct, const std::vector<WeatherDay>& weather, const HeatRecipe& recipe,
    const ForecastOptions& options) {
  if (day.empty()) {
    reject_argument("day", "no visit", "at least one");
  }
  const auto [first, last] = std::minmax_element(day.begin(), day.end());
  const auto pace =
      heat_pace(weather, std::min(*first + 1, *last - kRecentDays + 1), *last, recipe);
  if (!pace) {
    return std::nullopt;
  }
  std::vector<double> thermal;
  for (const int visit : day) {
    const double since =
        visit == *last ? 0.0
                       : sum_degree_days(weather, visit + 1, *last, recipe).degree_days.value();
    thermal.push_back(*last - since / pace->recent);
  }
  HeatForecast result;
  result.pace = *pace;
  result.forecast = forecast_readiness(thermal, psi, psi_sd, minimum_dm_pct, options);
  if (result.forecast.gain_per_week) {
    const double weeks = 100.0 / (kWeek * pace->recent);
    result.gain_per_100 = *result.forecast.gain_per_week * weeks;
    result.gain_per_100_sd = *result.forecast.gain_sd * weeks;
  }
  return result;
}

std::optional<TargetDay> day_of_target(const std::vector<WeatherDay>& weather, int first, int last,
                                       const HeatTarget& target, std::string_view start_stage,
                                       const HeatRecipe& recipe) {
  const auto mismatch = target_mismatch(target, start_stage, recipe);
  if (mismatch) {
    reject_argument("target", *mismatch, "a sum made as the target was");
  }
  if (!(target.degree_days > 0.0) || !std::isfinite(target.degree_days)) {
    reject_argument("target", target.degree_days, "degree-days above 0");
  }
  const auto pace = heat_pace(weather, first, last, recipe);
  if (!pace) {
    return std::nullopt;
  }
  TargetDay found;
  found.so_far = sum_degree_days(weather, first, last, recipe).degree_days.value();
  found.target = target.degree_days;
  found.pace = *pace;
  const double left = target.degree_days - found.so_far;
  found.days = static_cast<int>(std::ceil(left / pace->recent));
  found.days_fastest = static_cast<int>(std::ceil(left / pace->fastest));
  if (pace->slowest > 0.0) {
    found.days_slowest = static_cast<int>(std::ceil(left / pace->slowest));
  }
  if (left > 0.0) {
    std::vector<double> daily;
    for (int day = first; day <= last; ++day) {
      daily.push_back(sum_degree_days(weather, day, day, recipe).degree_days.value());
    }
    found.range_80 = target_range(left, daily, kNarrowLevel);
    found.range_95 = target_range(left, daily, kWideLevel);
  }
  return found;
}

}  // namespace maturity
