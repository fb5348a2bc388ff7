#include "libmaturity/forecast/target_range.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <string>

#include "libmaturity/forecast/heat_forecast.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr std::ptrdiff_t kScatterDays = 56;
constexpr double kGuessedAutocorrelation = 0.6;
constexpr double kGuessDays = 28.0;
constexpr double kHighestAutocorrelation = 0.9;
// Change of the pace in a week, degree-days a day; the pace is that of the middle of its days.
constexpr double kPaceDrift = 0.5;
constexpr double kDaysOfWeek = 7.0;

/// Variance of the sum of `days` days in a row, in units of that of one.
double variance_of_sum(double days, double correlation) {
  const double rest = 1.0 - correlation;
  return days * (1.0 + correlation) / rest -
         2.0 * correlation * (1.0 - std::pow(correlation, days)) / (rest * rest);
}

}  // namespace

HeatScatter heat_scatter(const std::vector<double>& daily) {
  if (daily.size() < static_cast<std::size_t>(kRecentDays)) {
    reject_argument("daily", daily.size(), "at least " + std::to_string(kRecentDays) + " days");
  }
  for (const double day : daily) {
    if (!(day >= 0.0) || !std::isfinite(day)) {
      reject_argument("daily", day, "degree-days of 0 or more");
    }
  }
  const std::vector<double> last(
      daily.end() - std::min(kScatterDays, static_cast<std::ptrdiff_t>(daily.size())), daily.end());
  const auto n = static_cast<double>(last.size());
  const double middle = (n - 1.0) / 2.0;
  const double mean = std::accumulate(last.begin(), last.end(), 0.0) / n;
  double slope = 0.0;
  for (std::size_t i = 0; i < last.size(); ++i) {
    slope += (static_cast<double>(i) - middle) * (last[i] - mean) / (n * (n * n - 1.0) / 12.0);
  }
  double squares = 0.0;
  double products = 0.0;
  double before = 0.0;
  for (std::size_t i = 0; i < last.size(); ++i) {
    const double rest = last[i] - mean - slope * (static_cast<double>(i) - middle);
    squares += rest * rest;
    products += rest * before;
    before = rest;
  }
  HeatScatter scatter;
  scatter.day_variance = squares / (n - 2.0);
  const double plain = squares > 0.0 ? products / squares : kGuessedAutocorrelation;
  const double corrected = plain + (1.0 + 3.0 * plain) / n;
  const double pooled = (n * corrected + kGuessDays * kGuessedAutocorrelation) / (n + kGuessDays);
  scatter.autocorrelation = std::clamp(pooled, 0.0, kHighestAutocorrelation);
  return scatter;
}

DateRange target_range(double left, const std::vector<double>& daily, double level) {
  if (!(level > 0.0 && level < 1.0)) {
    reject_argument("level", level, "between 0 and 1");
  }
  if (!(left > 0.0) || !std::isfinite(left)) {
    reject_argument("left", left, "degree-days above 0");
  }
  const HeatScatter scatter = heat_scatter(daily);
  const double pace = std::accumulate(daily.end() - kRecentDays, daily.end(), 0.0) /
                      static_cast<double>(kRecentDays);
  const double of_pace = variance_of_sum(kRecentDays, scatter.autocorrelation) /
                         static_cast<double>(kRecentDays * kRecentDays);
  DateRange range;
  range.level = level;
  for (int day = 1; day <= kLongestTargetDays; ++day) {
    const auto days = static_cast<double>(day);
    const double drift = kPaceDrift * days * (days + kRecentDays) / (2.0 * kDaysOfWeek);
    const double variance =
        scatter.day_variance *
            (days * days * of_pace + variance_of_sum(days, scatter.autocorrelation)) +
        drift * drift;
    const double z = (days * pace - left) / std::sqrt(variance);
    const double chance = normal_cdf(z);
    if (!range.from && chance >= (1.0 - level) / 2.0) {
      range.from = day;
    }
    if (chance >= (1.0 + level) / 2.0) {
      range.until = day;
      break;
    }
  }
  return range;
}

}  // namespace maturity
