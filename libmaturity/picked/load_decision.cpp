#include "libmaturity/picked/load_decision.h"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <string>

#include "libmaturity/stats/acceptance.h"
#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kLevel = 0.95;

void check_load(const LoadCheck& check) {
  if (check.checked < 1) {
    reject_argument("checked", check.checked, "at least 1 fruit");
  }
  if (check.found < 0 || check.found > check.checked) {
    reject_argument("found", check.found, "0 to the number checked");
  }
  if (check.lot && *check.lot < check.checked) {
    reject_argument("lot", *check.lot,
                    "at least the number checked, " + std::to_string(check.checked));
  }
  if (!(check.design_effect >= 1.0)) {
    reject_argument("design_effect", check.design_effect, "at least 1");
  }
}

/// P(at most `found` of n), by the beta form, so that counts need not be whole.
double at_most(double found, double n, double share) {
  return found >= n ? 1.0 : boost::math::ibetac(found + 1.0, n - found, share);
}

}  // namespace

std::string_view name(LoadStep step) {
  switch (step) {
    case LoadStep::accept:
      return "accept";
    case LoadStep::check_more:
      return "check_more";
    case LoadStep::hold:
      return "hold";
    case LoadStep::sort:
      return "sort";
  }
  return "";
}

LoadDecision decide_load(const LoadCheck& check, const LoadRule& rule) {
  check_rule(rule);
  check_load(check);
  const bool independent = check.design_effect <= 1.0;
  const std::optional<int> lot = independent ? check.lot : std::nullopt;
  const double n = check.checked / check.design_effect;
  const double found = check.found / check.design_effect;
  LoadDecision decision;
  decision.share = static_cast<double>(check.found) / check.checked;
  decision.interval = proportion_interval(found, n, kLevel, ProportionMethod::clopper_pearson);
  if (independent) {
    decision.chance_if_refused =
        acceptance_probability(check.checked, check.found, rule.refused, lot);
    decision.chance_if_acceptable =
        check.found == 0
            ? 1.0
            : 1.0 - acceptance_probability(check.checked, check.found - 1, rule.acceptable, lot);
  } else {
    decision.chance_if_refused = at_most(found, n, rule.refused);
    decision.chance_if_acceptable =
        check.found == 0 ? 1.0 : boost::math::ibeta(found, n - found + 1.0, rule.acceptable);
  }
  LoadRule half = rule;
  half.producer_risk /= 2.0;
  half.consumer_risk /= 2.0;
  const bool better = decision.chance_if_refused <= half.consumer_risk;
  const bool worse = decision.chance_if_acceptable <= half.producer_risk;
  if (better != worse) {
    decision.step = better ? LoadStep::accept : LoadStep::sort;
    return decision;
  }
  decision.step = LoadStep::hold;
  const std::optional<LoadPlan> plan = better ? std::nullopt : smallest_plan(half, lot);
  if (plan) {
    const auto total = static_cast<int>(std::ceil(plan->n * check.design_effect));
    if (total > check.checked && total <= check.lot.value_or(total)) {
      decision.step = LoadStep::check_more;
      decision.more = total - check.checked;
      decision.accept_total =
          static_cast<int>(std::floor((plan->accept + 0.5) * check.design_effect));
    }
  }
  return decision;
}

}  // namespace maturity
