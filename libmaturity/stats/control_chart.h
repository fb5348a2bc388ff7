#pragma once

#include <optional>
#include <vector>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// Three-sigma limits of a p-chart: p +/- 3 sqrt(p(1-p) deff/n), cut to 0..1. share within 0..1,
/// n > 0, design_effect >= 1 (units that come in clusters spread more). NIST/SEMATECH e-Handbook
/// 6.3.3.2 (READ: start of the page). Throws std::invalid_argument.
Bounds p_chart_limits(double share, double n, double design_effect = 1.0);

struct ChartPoint {
  double share = 0.0;
  Bounds limits;
  bool above = false;
  bool below = false;
};

struct PChart {
  /// Centre line: all counts over all units, unless given.
  double centre = 0.0;
  std::vector<ChartPoint> points;
};

/// A p-chart over samples of unequal size. `count` and `checked` of one length >= 1, 0 <= count <=
/// checked, checked > 0. `centre` is a target or a share from an earlier period.
PChart p_chart(const std::vector<double>& count, const std::vector<double>& checked,
               std::optional<double> centre = std::nullopt, double design_effect = 1.0);

}  // namespace maturity
