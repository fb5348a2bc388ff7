#include "libmaturity/picked/share_cost.h"

#include <cmath>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kGramPerKg = 1000.0;

void check_positive(const char* name, double value) {
  if (!(value > 0.0) || !std::isfinite(value)) {
    reject_argument(name, value, "above 0");
  }
}

}  // namespace

ShareCost cost_of_share(double share, const Bounds& interval, const LoadFigures& load) {
  if (!(interval.low >= 0.0 && interval.low <= share && share <= interval.high &&
        interval.high <= 1.0)) {
    reject_argument("share", share, "within its interval, and that within 0 to 1");
  }
  check_positive("fruit", load.fruit);
  check_positive("fruit_mass_g", load.fruit_mass_g);
  const auto times = [&](double factor) {
    return CostRange{share * factor, {interval.low * factor, interval.high * factor}};
  };
  ShareCost cost;
  cost.fruit = times(load.fruit);
  const double mass = load.fruit * load.fruit_mass_g / kGramPerKg;
  cost.mass_kg = times(mass);
  if (load.fruit_per_tray) {
    check_positive("fruit_per_tray", *load.fruit_per_tray);
    cost.trays = times(load.fruit / *load.fruit_per_tray);
  }
  if (load.price_per_kg) {
    if (!(*load.price_per_kg >= 0.0) || !std::isfinite(*load.price_per_kg)) {
      reject_argument("price_per_kg", *load.price_per_kg, "at least 0");
    }
    cost.money = times(mass * *load.price_per_kg);
  }
  return cost;
}

}  // namespace maturity
