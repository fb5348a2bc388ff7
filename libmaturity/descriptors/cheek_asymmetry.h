#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `cheek_asymmetry`: (ventral half-width - dorsal half-width) / W, each at its widest, from the
/// line along the axis through the centre of area. No unit; -1 to 1; 0 on an ellipse.
double measure_cheek_asymmetry(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
