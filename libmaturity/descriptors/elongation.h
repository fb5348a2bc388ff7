#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `elongation`: L / W, the extent of the outline along the axis over its extent across it. No
/// unit; above 0, mostly 1.0 to 1.9. On an ellipse: a/b. Adds to `gradient` unless null.
double measure_elongation(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
