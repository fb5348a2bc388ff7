#pragma once

#include <optional>
#include <string_view>

#include "libmaturity/picked/load_plan.h"
#include "libmaturity/stats/bounds.h"

namespace maturity {

enum class LoadStep {
  /// Shown to be better than the refused share.
  accept,
  /// Too few fruit to tell the two shares apart: check `more`.
  check_more,
  /// Between the two shares, or no reasonable number of fruit would settle it: a person decides.
  hold,
  /// Shown to be worse than the acceptable share.
  sort
};
std::string_view name(LoadStep step);

/// What was found in one load, drawn at random from all of it.
struct LoadCheck {
  int checked = 0;
  int found = 0;
  /// Fruit in the load; empty: very many.
  std::optional<int> lot = std::nullopt;
  /// Variance of bins over that of independent fruit, >= 1; the lot is then taken as very large.
  double design_effect = 1.0;
};

struct LoadDecision {
  LoadStep step = LoadStep::check_more;
  double share = 0.0;
  /// Exact 95 % interval (Clopper and Pearson), fruit divided by the design effect; a known lot
  /// makes it no shorter.
  Bounds interval;
  /// Chance to find so few or fewer in a load at the refused share, and so many or more at the
  /// acceptable one.
  double chance_if_refused = 0.0;
  double chance_if_acceptable = 0.0;
  /// Fruit to check beside those checked, and bad ones allowed among all; check_more only. With up
  /// to so many the next step is accept, with more it is sort, by these same conditions.
  std::optional<int> more;
  std::optional<int> accept_total;
};

/// Next step for a load. Each look spends half of each risk, so that a first look and the one it
/// asks for keep the risks of the rule together (Bonferroni). Throws std::invalid_argument naming
/// the field (check_rule; checked below 1 or above the lot, found outside 0..checked, design effect
/// below 1).
LoadDecision decide_load(const LoadCheck& check, const LoadRule& rule);

}  // namespace maturity
