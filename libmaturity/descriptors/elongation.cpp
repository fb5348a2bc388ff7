#include "libmaturity/descriptors/elongation.h"

namespace maturity {

double measure_elongation(const FramedOutline& outline, EdgeGradient* gradient) {
  const double value = outline.length / outline.width;
  add_length(gradient, 1.0 / outline.width);
  add_half_width(gradient, +1, -value / outline.width);
  add_half_width(gradient, -1, -value / outline.width);
  return value;
}

}  // namespace maturity
