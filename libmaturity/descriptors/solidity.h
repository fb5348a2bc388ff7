#pragma once

#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `solidity`: area over the area of the convex hull. No unit; 0 to 1; 1 on an ellipse. A rough
/// edge lies below its own hull: errors lower the value of convex fruit by several standard errors,
/// which are scatter only.
double measure_solidity(const FramedOutline& outline, const BendLine& line, EdgeGradient* gradient);

}  // namespace maturity
