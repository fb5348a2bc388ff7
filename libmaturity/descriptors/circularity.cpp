#include "libmaturity/descriptors/circularity.h"

#include <numbers>

namespace maturity {

double measure_circularity(const FramedOutline& outline, EdgeGradient* gradient) {
  const double value =
      4.0 * std::numbers::pi * outline.area / (outline.perimeter * outline.perimeter);
  add_area(gradient, outline, value / outline.area);
  add_perimeter(gradient, outline, -2.0 * value / outline.perimeter);
  return value;
}

}  // namespace maturity
