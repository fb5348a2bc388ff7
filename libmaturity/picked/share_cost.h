#pragma once

#include <optional>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// The user's own figures; nothing here has a default.
struct LoadFigures {
  /// Fruit in the load.
  double fruit = 0.0;
  double fruit_mass_g = 0.0;
  /// In the user's currency, per kg; empty: no money.
  std::optional<double> price_per_kg;
  /// Fruit in a tray; empty: no trays.
  std::optional<double> fruit_per_tray;
};

/// A quantity with the interval carried through from the share.
struct CostRange {
  double value = 0.0;
  Bounds interval;
};

struct ShareCost {
  CostRange fruit;
  CostRange mass_kg;
  std::optional<CostRange> trays;
  std::optional<CostRange> money;
};

/// What a share of bad fruit costs in a load: fruit, mass, trays, money. share and its interval
/// within 0..1 with low <= share <= high; figures above 0 (price at least 0). The interval is that
/// of the share alone: errors of mass and price are the user's. Throws std::invalid_argument.
ShareCost cost_of_share(double share, const Bounds& interval, const LoadFigures& load);

}  // namespace maturity
