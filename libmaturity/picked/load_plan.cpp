#include "libmaturity/picked/load_plan.h"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>

#include "libmaturity/stats/acceptance.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_design_effect(double design_effect) {
  if (!(design_effect >= 1.0)) {
    reject_argument("design_effect", design_effect, "at least 1");
  }
}

}  // namespace

LoadRule in_whole_fruit(const LoadRule& rule, const CheckedLot& lot) {
  if (!lot.fruit || lot.design_effect > 1.0) {
    return rule;
  }
  LoadRule whole = rule;
  // A share such as 0.1 of 100 is 10 fruit, though 0.1 * 100 may come out a hair above.
  constexpr double kRounding = 1e-9;
  whole.acceptable = std::floor(rule.acceptable * *lot.fruit + kRounding) / *lot.fruit;
  whole.refused = std::ceil(rule.refused * *lot.fruit - kRounding) / *lot.fruit;
  return whole;
}

double chance_to_pass(int n, int accept, double share, const CheckedLot& lot) {
  check_design_effect(lot.design_effect);
  if (!(share >= 0.0 && share <= 1.0)) {
    reject_argument("share", share, "within 0 to 1");
  }
  if (accept < 0) {
    return 0.0;
  }
  if (accept >= n) {
    return 1.0;
  }
  if (lot.design_effect <= 1.0) {
    return acceptance_probability(n, accept, share, lot.fruit);
  }
  return boost::math::ibetac(accept / lot.design_effect + 1.0, (n - accept) / lot.design_effect,
                             share);
}

double chance_of_as_many(int n, int found, double share, const CheckedLot& lot) {
  check_design_effect(lot.design_effect);
  if (found <= 0) {
    return 1.0;
  }
  if (lot.design_effect <= 1.0) {
    return 1.0 - acceptance_probability(n, found - 1, share, lot.fruit);
  }
  return boost::math::ibeta(found / lot.design_effect, (n - found) / lot.design_effect + 1.0,
                            share);
}

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

std::optional<LoadPlan> smallest_plan(const LoadRule& rule, const CheckedLot& lot, int above) {
  check_rule(rule);
  if (lot.fruit && *lot.fruit < 1) {
    reject_argument("lot", *lot.fruit, "at least 1 fruit");
  }
  const LoadRule whole = in_whole_fruit(rule, lot);
  const int most = std::min(lot.fruit.value_or(kLargestCheck), kLargestCheck);
  // Both only rise with n, so that each is moved up from where it was.
  int better = -1;  // most bad fruit that show the load better than the refused share
  int worse = 0;    // fewest that show it worse than the acceptable one
  for (int n = std::max(0, above) + 1; n <= most; ++n) {
    while (better + 1 < n &&
           chance_to_pass(n, better + 1, whole.refused, lot) <= rule.consumer_risk) {
      ++better;
    }
    while (worse <= n && chance_of_as_many(n, worse, whole.acceptable, lot) > rule.producer_risk) {
      ++worse;
    }
    // Overlapping by more than nothing would leave counts that show both.
    if (better >= 0 && worse == better + 1) {
      return LoadPlan{n, better, chance_to_pass(n, better, whole.acceptable, lot),
                      chance_to_pass(n, better, whole.refused, lot)};
    }
  }
  return std::nullopt;
}

double share_passed_with(int n, int accept, double chance, double design_effect) {
  check_design_effect(design_effect);
  if (accept < 0 || accept >= n) {
    reject_argument("accept", accept, "at least 0 and below the number checked");
  }
  if (!(chance > 0.0 && chance < 1.0)) {
    reject_argument("chance", chance, "within 0 to 1");
  }
  return boost::math::ibetac_inv(accept / design_effect + 1.0, (n - accept) / design_effect,
                                 chance);
}

}  // namespace maturity
