#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `circularity`: 4 pi area / perimeter^2. No unit; 0 to 1; 1 on a circle, 0.94103714756 on an
/// ellipse with semi-axes 6 and 4. The perimeter is that of the evenly resampled outline, so that
/// pixel steps do not lengthen it. Rough errors still do: they lower
/// the value by (sd over correlation length)^2 of itself, which the standard error, scatter only,
/// does not hold.
double measure_circularity(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
