#include "libmaturity/picked/load_plan.h"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>

#include "libmaturity/stats/acceptance.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

/// The two shares as this load can have them: in a load of whole fruit, rounded apart.
LoadRule in_whole_fruit(const LoadRule& rule, std::optional<int> lot) {
  if (!lot) {
    return rule;
  }
  LoadRule whole = rule;
  // A share such as 0.1 of 100 is 10 fruit, though 0.1 * 100 may come out a hair above.
  constexpr double kRounding = 1e-9;
  whole.acceptable = std::floor(rule.acceptable * *lot + kRounding) / *lot;
  whole.refused = std::ceil(rule.refused * *lot - kRounding) / *lot;
  return whole;
}

/// Fewest fruit of which at most `accept` bad ones make a refused load pass rarely enough.
std::optional<int> fewest_fruit(const LoadRule& rule, int accept, std::optional<int> lot) {
  int low = accept + 1;
  int high = std::min(lot.value_or(kLargestCheck), kLargestCheck);
  const auto rare = [&](int n) {
    return acceptance_probability(n, accept, rule.refused, lot) <= rule.consumer_risk;
  };
  if (low > high || !rare(high)) {
    return std::nullopt;
  }
  while (low < high) {
    const int middle = (low + high) / 2;
    if (rare(middle)) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return low;
}

}  // namespace

void check_rule(const LoadRule& rule) {
  if (!(rule.acceptable >= 0.0 && rule.acceptable < rule.refused)) {
    reject_argument("acceptable", rule.acceptable, "at least 0 and below the refused share");
  }
  if (!(rule.refused < 1.0)) {
    reject_argument("refused", rule.refused, "below 1");
  }
  for (const double risk : {rule.producer_risk, rule.consumer_risk}) {
    if (!(risk > 0.0 && risk < 0.5)) {
      reject_argument("risk", risk, "within 0 to 0.5");
    }
  }
}

std::optional<LoadPlan> smallest_plan(const LoadRule& rule, std::optional<int> lot) {
  check_rule(rule);
  if (lot && *lot < 1) {
    reject_argument("lot", *lot, "at least 1 fruit");
  }
  const LoadRule whole = in_whole_fruit(rule, lot);
  for (int accept = 0;; ++accept) {
    const std::optional<int> n = fewest_fruit(whole, accept, lot);
    if (!n) {
      return std::nullopt;
    }
    const double passes = acceptance_probability(*n, accept, whole.acceptable, lot);
    if (passes >= 1.0 - rule.producer_risk) {
      return LoadPlan{*n, accept, passes, acceptance_probability(*n, accept, whole.refused, lot)};
    }
  }
}

double share_passed_with(int n, int accept, double chance) {
  if (accept < 0 || accept >= n) {
    reject_argument("accept", accept, "at least 0 and below the number checked");
  }
  if (!(chance > 0.0 && chance < 1.0)) {
    reject_argument("chance", chance, "within 0 to 1");
  }
  return boost::math::ibetac_inv(accept + 1.0, static_cast<double>(n - accept), chance);
}

}  // namespace maturity
