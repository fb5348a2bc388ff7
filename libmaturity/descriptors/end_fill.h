#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `shoulder_fill_ventral` (side +1), `shoulder_fill_dorsal` (side -1): area of the proximal
/// quarter (x within 0.25 L of the most proximal point) on that side of the axis, over the area
/// of the rectangle 0.25 L x half-width of that side at its widest. No unit; 0 to 1.
/// On an ellipse 2 (pi/6 - sqrt(3)/8) = 0.614185. Adds to `gradient` unless null.
double measure_shoulder_fill(const FramedOutline& outline, int side, EdgeGradient* gradient);

/// `shoulder_fill`: mean of the two sides.
double measure_shoulder_fill_mean(const FramedOutline& outline, EdgeGradient* gradient);

/// `nose_fill`: area of the distal quarter, both sides, over the rectangle 0.25 L x W. On an
/// ellipse 0.614185.
double measure_nose_fill(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
