#include "libmaturity/descriptors/cheek_asymmetry.h"

namespace maturity {

double measure_cheek_asymmetry(const FramedOutline& outline, EdgeGradient* gradient) {
  const double value = (outline.half_width_ventral - outline.half_width_dorsal) / outline.width;
  add_half_width(gradient, +1, (1.0 - value) / outline.width);
  add_half_width(gradient, -1, (-1.0 - value) / outline.width);
  return value;
}

}  // namespace maturity
