#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// One tolerance: at most this share may have this fault. The user's own, or a standard's.
struct Tolerance {
  std::string what;
  int found = 0;
  double limit = 0.0;
};

enum class ToleranceState {
  /// The interval of the load's share ends at or below the limit.
  within,
  /// It begins above the limit.
  over,
  cannot_tell
};
std::string_view name(ToleranceState state);

struct ToleranceCheck {
  std::string what;
  int found = 0;
  double share = 0.0;
  double limit = 0.0;
  /// What a grade standard asks: the count in the sample.
  bool met_in_sample = false;
  /// What the sample says of the load.
  Bounds interval;
  ToleranceState state = ToleranceState::cannot_tell;
};

struct NestedTolerances {
  /// From the widest to the narrowest.
  std::vector<ToleranceCheck> checks;
  /// Every one met in the sample.
  bool met_in_sample = false;
  /// `over` when any is over, `within` when all are within.
  ToleranceState state = ToleranceState::cannot_tell;
};

/// Tolerances inside one another, as in the United States Standards for Grades of Mangos, 51.1043
/// (2007, READ): of all fruit not more than 10 % fail, of these not more than 5 % are damaged, of
/// these not more than 2 % decayed; every share is of all fruit checked. Intervals are exact
/// (Clopper and Pearson), fruit divided by the design effect. From the widest to the narrowest,
/// found and limit may not rise. Throws std::invalid_argument naming the tolerance.
NestedTolerances check_nested_tolerances(int checked, const std::vector<Tolerance>& tolerances,
                                         double level = 0.95, double design_effect = 1.0);

}  // namespace maturity
