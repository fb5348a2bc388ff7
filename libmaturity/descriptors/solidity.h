#pragma once

#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `solidity`: area over the area of the convex hull. No unit; 0 to 1; 1 on an ellipse.
double measure_solidity(const FramedOutline& outline, const BendLine& line, EdgeGradient* gradient);

}  // namespace maturity
