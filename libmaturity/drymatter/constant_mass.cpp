#include "libmaturity/drymatter/constant_mass.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

// Balances read in decimal steps; binary fractions of 0.01 must not decide.
constexpr double kBalanceRounding = 1e-9;

void check(const std::vector<DryingWeight>& weighings, const EndRule& rule) {
  if (!(rule.within_g >= 0.0)) {
    reject_argument("within_g", rule.within_g, "at least 0 g");
  }
  if (rule.agreeing < 2) {
    reject_argument("agreeing", rule.agreeing, "at least 2 weighings");
  }
  if (!(rule.hours_apart >= 0.0)) {
    reject_argument("hours_apart", rule.hours_apart, "at least 0 h");
  }
  for (std::size_t i = 0; i < weighings.size(); ++i) {
    const std::string place = ", weighing " + std::to_string(i + 1);
    if (!(weighings[i].dish_sample_g > 0.0) || !std::isfinite(weighings[i].dish_sample_g)) {
      reject_argument("dish_sample_g" + place, weighings[i].dish_sample_g, "above 0 g");
    }
    if (!std::isfinite(weighings[i].hours) ||
        (i > 0 && !(weighings[i].hours > weighings[i - 1].hours))) {
      reject_argument("hours" + place, weighings[i].hours, "later than the weighing before");
    }
  }
}

/// Weighings at least the rule's gap apart, taken backwards from the last one.
std::vector<DryingWeight> spaced(const std::vector<DryingWeight>& weighings, double hours_apart) {
  std::vector<DryingWeight> kept;
  for (std::size_t i = weighings.size(); i > 0; --i) {
    const DryingWeight& each = weighings[i - 1];
    if (kept.empty() || kept.back().hours - each.hours >= hours_apart - kBalanceRounding) {
      kept.push_back(each);
    }
  }
  return kept;
}

}  // namespace

std::string_view name(DryingState state) {
  switch (state) {
    case DryingState::finished:
      return "finished";
    case DryingState::still_losing:
      return "still_losing";
    case DryingState::cannot_tell:
      return "cannot_tell";
    case DryingState::gained:
      return "gained";
  }
  return "";
}

std::string_view sentence(DryingState state) {
  switch (state) {
    case DryingState::finished:
      return "the last weights agree";
    case DryingState::still_losing:
      return "it was still getting lighter";
    case DryingState::cannot_tell:
      return "too few weighings, or too close together, to tell";
    case DryingState::gained:
      return "heavier than before: damp taken up, or a slip";
  }
  return "";
}

DryingResult judge_drying(const std::vector<DryingWeight>& weighings, const EndRule& rule) {
  check(weighings, rule);
  DryingResult result;
  const std::vector<DryingWeight> last = spaced(weighings, rule.hours_apart);
  if (last.size() >= 2) {
    result.last_loss_g = last[1].dish_sample_g - last[0].dish_sample_g;
    if (*result.last_loss_g < -rule.within_g - kBalanceRounding) {
      result.state = DryingState::gained;
      return result;
    }
    if (*result.last_loss_g > rule.within_g + kBalanceRounding) {
      result.state = DryingState::still_losing;
      return result;
    }
  }
  const auto needed = static_cast<std::size_t>(rule.agreeing);
  if (last.size() < needed) {
    return result;
  }
  const auto [low, high] =
      std::minmax_element(last.begin(), last.begin() + rule.agreeing,
                          [](const DryingWeight& one, const DryingWeight& other) {
                            return one.dish_sample_g < other.dish_sample_g;
                          });
  if (high->dish_sample_g - low->dish_sample_g > rule.within_g + kBalanceRounding) {
    result.state = DryingState::still_losing;
    return result;
  }
  result.state = DryingState::finished;
  result.dish_dried_g = last[0].dish_sample_g;
  return result;
}

}  // namespace maturity
