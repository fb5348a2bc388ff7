#include "libmaturity/picked/nested_tolerance.h"

#include <algorithm>
#include <cstddef>

#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_tolerances(int checked, const std::vector<Tolerance>& tolerances) {
  if (tolerances.empty()) {
    reject_argument("tolerances", "none", "at least one");
  }
  int most = checked;
  double widest = 1.0;
  for (const Tolerance& each : tolerances) {
    if (each.found < 0 || each.found > most) {
      reject_argument(each.what + ": found", each.found,
                      "0 to the count of the wider tolerance, " + std::to_string(most));
    }
    if (!(each.limit >= 0.0 && each.limit <= widest)) {
      reject_argument(each.what + ": limit", each.limit,
                      "0 to 1 and not above the wider tolerance");
    }
    most = each.found;
    widest = each.limit;
  }
}

ToleranceState state_of(const Bounds& interval, double limit) {
  if (interval.low > limit) {
    return ToleranceState::over;
  }
  return interval.high <= limit ? ToleranceState::within : ToleranceState::cannot_tell;
}

}  // namespace

std::string_view name(ToleranceState state) {
  switch (state) {
    case ToleranceState::within:
      return "within";
    case ToleranceState::over:
      return "over";
    case ToleranceState::cannot_tell:
      return "cannot_tell";
  }
  return "";
}

NestedTolerances check_nested_tolerances(int checked, const std::vector<Tolerance>& tolerances,
                                         double level, double design_effect) {
  if (checked < 1) {
    reject_argument("checked", checked, "at least 1 fruit");
  }
  if (!(design_effect >= 1.0)) {
    reject_argument("design_effect", design_effect, "at least 1");
  }
  check_tolerances(checked, tolerances);
  NestedTolerances result;
  result.met_in_sample = true;
  bool all_within = true;
  bool any_over = false;
  for (const Tolerance& each : tolerances) {
    ToleranceCheck one;
    one.what = each.what;
    one.found = each.found;
    one.limit = each.limit;
    one.share = static_cast<double>(each.found) / checked;
    one.met_in_sample = one.share <= each.limit;
    one.interval = proportion_interval(each.found / design_effect, checked / design_effect, level,
                                       ProportionMethod::clopper_pearson);
    one.state = state_of(one.interval, each.limit);
    result.met_in_sample = result.met_in_sample && one.met_in_sample;
    all_within = all_within && one.state == ToleranceState::within;
    any_over = any_over || one.state == ToleranceState::over;
    result.checks.push_back(one);
  }
  if (any_over) {
    result.state = ToleranceState::over;
  } else if (all_within) {
    result.state = ToleranceState::within;
  }
  return result;
}

}  // namespace maturity
