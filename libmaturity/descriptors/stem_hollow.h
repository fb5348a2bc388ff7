#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `stem_hollow`: mean depth of the edge within 0.05 L of arc of the stem, below the circle fitted
/// to the shoulders, the edge from 0.14 to 0.32 L on both sides; over L. No unit; about -0.05 to
/// 0.05; 0 on a circle; below 0 where the stem end stands out, as on an ellipse. It orders ends
/// without a hollow too; the depth below the convex hull, used before, was 0 on most of them. Adds
/// to `gradient` unless null.
double measure_stem_hollow(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
