#pragma once

namespace maturity {

/// A mass with the standard deviation of its error, g.
struct FruitMass {
  double mass_g = 0.0;
  double error_sd_g = 0.0;
};

/// Mass from length, width and thickness, mm: 0.5472 g/cm3 x L W T with an error of 29.9 g (RMSE
/// over several cultivars; Amaral and Walsh 2023, Horticulturae 9:54, abstract READ). Errors of the
/// three sizes (SD, mm) are added in quadrature. Sizes 20..400 mm, SDs >= 0; throws
/// std::invalid_argument otherwise. Good for sorting and averages; a single fruit is known to some
/// 60 g either way.
FruitMass estimate_fruit_mass(double length_mm, double width_mm, double thickness_mm,
                              double length_sd_mm = 0.0, double width_sd_mm = 0.0,
                              double thickness_sd_mm = 0.0);

}  // namespace maturity
