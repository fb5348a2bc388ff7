#include "libmaturity/picked/contact_time.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <cstddef>
#include <map>
#include <optional>

#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr std::size_t kFewestDays = 5;

double median_of(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t middle = values.size() / 2;
  return values.size() % 2 == 1 ? values[middle] : 0.5 * (values[middle - 1] + values[middle]);
}

/// What ties take off the variance of Kendall's sum, times 18.
double tie_term(const std::vector<double>& values) {
  std::map<double, double> repeats;
  for (const double value : values) {
    repeats[value] += 1.0;
  }
  double term = 0.0;
  for (const auto& [value, k] : repeats) {
    term += k * (k - 1.0) * (2.0 * k + 5.0);
  }
  return term;
}

/// Slopes between any two of the days' medians, in order, and the spread of Kendall's sum.
struct Slopes {
  std::vector<double> sorted;
  double spread = 0.0;
};

Slopes slopes_of(const std::map<double, std::vector<double>>& by_day) {
  std::vector<double> days;
  std::vector<double> medians;
  Slopes slopes;
  for (const auto& [day, values] : by_day) {
    medians.push_back(median_of(values));
    for (std::size_t j = 0; j < days.size(); ++j) {
      slopes.sorted.push_back((medians.back() - medians[j]) / (day - days[j]));
    }
    days.push_back(day);
  }
  std::sort(slopes.sorted.begin(), slopes.sorted.end());
  const auto n = static_cast<double>(days.size());
  const double variance = (n * (n - 1.0) * (2.0 * n + 5.0) - tie_term(medians)) / 18.0;
  slopes.spread = std::sqrt(std::max(0.0, variance));
  return slopes;
}

/// Sen's interval; empty where so few days cannot give one at this level.
std::optional<Bounds> slope_bounds(const Slopes& slopes, double level) {
  const double z = boost::math::quantile(boost::math::normal(), 0.5 * (1.0 + level));
  const double reach = z * slopes.spread;
  const auto pairs = static_cast<double>(slopes.sorted.size());
  if (reach > pairs) {
    return std::nullopt;
  }
  const double last = pairs - 1.0;
  const double low = std::clamp(std::nearbyint((pairs - reach) / 2.0) - 1.0, 0.0, last);
  const double high = std::clamp(std::nearbyint((pairs + reach) / 2.0), 0.0, last);
  return Bounds{slopes.sorted[static_cast<std::size_t>(low)],
                slopes.sorted[static_cast<std::size_t>(high)]};
}

void add_trend(TimingSummary& summary, const std::map<double, std::vector<double>>& by_day,
               const TrendOptions& options) {
  const Slopes slopes = slopes_of(by_day);
  summary.slope_per_day = median_of(slopes.sorted);
  summary.slope_interval = slope_bounds(slopes, options.level);
  const std::optional<Bounds> strict =
      slope_bounds(slopes, 1.0 - (1.0 - options.level) / options.comparisons);
  summary.rising = strict && strict->low > 0.0;
  summary.falling = strict && strict->high < 0.0;
}

}  // namespace

TimingSummary summarise_timings(const std::vector<Timing>& timings, const TimingLimits& limits,
                                const TrendOptions& options) {
  if (timings.empty()) {
    reject_argument("timings", "none", "at least one");
  }
  if (limits.low && limits.high && *limits.low > *limits.high) {
    reject_argument("low", *limits.low, "at most the upper limit");
  }
  if (!(options.level > 0.0 && options.level < 1.0)) {
    reject_argument("level", options.level, "within 0 to 1");
  }
  if (options.comparisons < 1) {
    reject_argument("comparisons", options.comparisons, "at least 1");
  }
  std::vector<double> values;
  std::map<double, std::vector<double>> by_day;
  int outside = 0;
  for (const Timing& each : timings) {
    if (!(each.value >= 0.0) || !std::isfinite(each.value) || !std::isfinite(each.day)) {
      reject_argument("value", each.value, "at least 0, on a known day");
    }
    values.push_back(each.value);
    by_day[std::floor(each.day)].push_back(each.value);
    const bool below = limits.low && each.value < *limits.low;
    const bool above = limits.high && each.value > *limits.high;
    outside += below || above ? 1 : 0;
  }
  TimingSummary summary;
  summary.count = static_cast<int>(timings.size());
  summary.days = static_cast<int>(by_day.size());
  summary.median = median_of(values);
  summary.longest = *std::max_element(values.begin(), values.end());
  summary.shortest = *std::min_element(values.begin(), values.end());
  if (limits.low || limits.high) {
    summary.outside = outside;
    summary.share_outside = static_cast<double>(outside) / summary.count;
    summary.share_interval = proportion_interval(outside, summary.count, options.level);
  }
  if (by_day.size() >= kFewestDays) {
    add_trend(summary, by_day, options);
  }
  return summary;
}

}  // namespace maturity
