#include "libmaturity/stats/control_chart.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {
constexpr double kSigmas = 3.0;
}

Bounds p_chart_limits(double share, double n, double design_effect) {
  if (!(share >= 0.0 && share <= 1.0)) {
    reject_argument("share", share, "within 0 to 1");
  }
  if (!(n > 0.0) || !std::isfinite(n)) {
    reject_argument("n", n, "more than 0");
  }
  if (!(design_effect >= 1.0) || !std::isfinite(design_effect)) {
    reject_argument("design_effect", design_effect, "at least 1");
  }
  const double half = kSigmas * std::sqrt(share * (1.0 - share) * design_effect / n);
  return {std::max(0.0, share - half), std::min(1.0, share + half)};
}

PChart p_chart(const std::vector<double>& count, const std::vector<double>& checked,
               std::optional<double> centre, double design_effect) {
  if (count.empty() || count.size() != checked.size()) {
    reject_argument("checked", std::to_string(checked.size()) + " samples",
                    std::to_string(count.size()) + ", as count, and at least one");
  }
  for (std::size_t i = 0; i < count.size(); ++i) {
    const std::string place = ", sample " + std::to_string(i + 1);
    if (!(checked[i] > 0.0)) {
      reject_argument("checked" + place, checked[i], "more than 0");
    }
    if (!(count[i] >= 0.0 && count[i] <= checked[i])) {
      reject_argument("count" + place, count[i], "at least 0 and at most the number checked");
    }
  }
  PChart chart;
  chart.centre = centre ? *centre
                        : std::accumulate(count.begin(), count.end(), 0.0) /
                              std::accumulate(checked.begin(), checked.end(), 0.0);
  for (std::size_t i = 0; i < count.size(); ++i) {
    ChartPoint point;
    point.share = count[i] / checked[i];
    point.limits = p_chart_limits(chart.centre, checked[i], design_effect);
    point.above = point.share > point.limits.high;
    point.below = point.share < point.limits.low;
    chart.points.push_back(point);
  }
  return chart;
}

}  // namespace maturity
