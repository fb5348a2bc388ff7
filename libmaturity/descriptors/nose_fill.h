#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `nose_fill`: area of the last 0.075 L over that of the slice from 0.60 to 0.70 L, both sides, as
/// a share of what an ellipse has, times 0.614185. No unit; about 0.4 to 0.8; 0.614185 on an
/// ellipse. Measured at the tip, since the distal quarter over the rectangle 0.25 L x W, used
/// before, answered to taper and beak as much as to the nose. Adds to `gradient` unless null.
double measure_nose_fill(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
