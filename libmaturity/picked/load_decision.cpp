#include "libmaturity/picked/load_decision.h"

#include <string>

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
  const CheckedLot lot{check.lot, check.design_effect};
  const LoadRule whole = in_whole_fruit(rule, lot);
  LoadDecision decision;
  decision.share = static_cast<double>(check.found) / check.checked;
  decision.interval =
      proportion_interval(check.found / check.design_effect, check.checked / check.design_effect,
                          kLevel, ProportionMethod::clopper_pearson);
  decision.chance_if_refused = chance_to_pass(check.checked, check.found, whole.refused, lot);
  decision.chance_if_acceptable =
      chance_of_as_many(check.checked, check.found, whole.acceptable, lot);
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
  const std::optional<LoadPlan> plan =
      better ? std::nullopt : smallest_plan(half, lot, check.checked);
  if (plan) {
    decision.step = LoadStep::check_more;
    decision.more = plan->n - check.checked;
    decision.accept_total = plan->accept;
  }
  return decision;
}

}  // namespace maturity
