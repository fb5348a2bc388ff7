#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/picked/crew_check.h"

namespace maturity {

/// What became of one crew in the comparison.
struct CrewVerdict {
  std::string crew;
  double expected = 0.0;
  std::optional<double> own_share;
  int own_checked = 0;
  std::optional<double> others_share;
  int own_days = 0;
  int days_above = 0;
  int days_below = 0;
  std::optional<double> p_value;
  std::optional<bool> differs;
  std::optional<CannotTell> reason;
};

struct CrewVerdicts {
  ComparedBy compared_by = ComparedBy::assumed_spread;
  /// In the order of the crews' names.
  std::vector<CrewVerdict> crews;
};

/// Compares, sets the most different crew aside, and compares the rest again until none differs:
/// otherwise one bad crew makes the good ones look different too. `design_effect` as known from
/// `spare_bins`; empty: assumed. `checks` valid and not empty.
CrewVerdicts judge_crews(const std::vector<BinCheck>& checks, std::optional<double> design_effect,
                         int spare_bins, const CrewOptions& options);

}  // namespace maturity
