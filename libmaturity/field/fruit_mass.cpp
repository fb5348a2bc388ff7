#include "libmaturity/field/fruit_mass.h"

#include <cmath>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kGramPerMm3 = 0.5472e-3;
constexpr double kErrorG = 29.9;
constexpr double kSmallest = 20.0;
constexpr double kLargest = 400.0;

void check(const char* name, double value, double sd) {
  if (!(value >= kSmallest && value <= kLargest)) {
    reject_argument(name, value, "20 to 400 mm");
  }
  if (!(sd >= 0.0) || !std::isfinite(sd)) {
    reject_argument(name, sd, "a standard deviation of at least 0 mm");
  }
}

}  // namespace

FruitMass estimate_fruit_mass(double length_mm, double width_mm, double thickness_mm,
                              double length_sd_mm, double width_sd_mm, double thickness_sd_mm) {
  check("length_mm", length_mm, length_sd_mm);
  check("width_mm", width_mm, width_sd_mm);
  check("thickness_mm", thickness_mm, thickness_sd_mm);
  FruitMass result;
  result.mass_g = kGramPerMm3 * length_mm * width_mm * thickness_mm;
  const double relative =
      std::hypot(length_sd_mm / length_mm, width_sd_mm / width_mm, thickness_sd_mm / thickness_mm);
  result.error_sd_g = std::hypot(kErrorG, result.mass_g * relative);
  return result;
}

}  // namespace maturity
