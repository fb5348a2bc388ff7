#include "libmaturity/picked/contact_time.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <cstddef>
#include <map>
#include <set>

#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr std::size_t kFewestTimings = 6;
constexpr std::size_t kFewestDays = 3;

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

void add_trend(TimingSummary& summary, const std::vector<Timing>& timings, double level) {
  std::vector<double> slopes;
  std::vector<double> days;
  std::vector<double> values;
  for (std::size_t i = 0; i < timings.size(); ++i) {
    days.push_back(timings[i].day);
    values.push_back(timings[i].value);
    for (std::size_t j = 0; j < i; ++j) {
      const double apart = timings[i].day - timings[j].day;
      if (apart != 0.0) {
        slopes.push_back((timings[i].value - timings[j].value) / apart);
      }
    }
  }
  std::sort(slopes.begin(), slopes.end());
  summary.slope_per_day = median_of(slopes);
  const auto n = static_cast<double>(timings.size());
  const double variance =
      (n * (n - 1.0) * (2.0 * n + 5.0) - tie_term(days) - tie_term(values)) / 18.0;
  const double z = boost::math::quantile(boost::math::normal(), 0.5 * (1.0 + level));
  const double reach = z * std::sqrt(std::max(0.0, variance));
  const auto pairs = static_cast<double>(slopes.size());
  const double last = pairs - 1.0;
  const double low = std::clamp(std::nearbyint((pairs - reach) / 2.0) - 1.0, 0.0, last);
  const double high = std::clamp(std::nearbyint((pairs + reach) / 2.0), 0.0, last);
  summary.slope_interval =
      Bounds{slopes[static_cast<std::size_t>(low)], slopes[static_cast<std::size_t>(high)]};
  summary.rising = summary.slope_interval->low > 0.0;
  summary.falling = summary.slope_interval->high < 0.0;
}

}  // namespace

TimingSummary summarise_timings(const std::vector<Timing>& timings, const TimingLimits& limits,
                                double level) {
  if (timings.empty()) {
    reject_argument("timings", "none", "at least one");
  }
  if (limits.low && limits.high && *limits.low > *limits.high) {
    reject_argument("low", *limits.low, "at most the upper limit");
  }
  std::vector<double> values;
  std::set<double> days;
  int outside = 0;
  for (const Timing& each : timings) {
    if (!(each.value >= 0.0) || !std::isfinite(each.value) || !std::isfinite(each.day)) {
      reject_argument("value", each.value, "at least 0, on a known day");
    }
    values.push_back(each.value);
    days.insert(std::floor(each.day));
    const bool below = limits.low && each.value < *limits.low;
    const bool above = limits.high && each.value > *limits.high;
    outside += below || above ? 1 : 0;
  }
  TimingSummary summary;
  summary.count = static_cast<int>(timings.size());
  summary.median = median_of(values);
  summary.longest = *std::max_element(values.begin(), values.end());
  summary.shortest = *std::min_element(values.begin(), values.end());
  if (limits.low || limits.high) {
    summary.outside = outside;
    summary.share_outside = static_cast<double>(outside) / summary.count;
    summary.share_interval = proportion_interval(outside, summary.count, level);
  }
  if (timings.size() >= kFewestTimings && days.size() >= kFewestDays) {
    add_trend(summary, timings, level);
  }
  return summary;
}

}  // namespace maturity
