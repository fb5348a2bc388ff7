#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `end_balance`: (area of the stem half - area of the nose half) / area, each half counted from
/// 0.2 L to the middle and from the middle to 0.8 L. No unit; -1 to 1; positive on egg-like fruit,
/// 0 on an ellipse. The last fifth at either end is left out: its area speaks of shoulders, hollow,
/// nose and beak, which have descriptors of their own, and with it the order of fruit by their
/// taper was lost in part (docs/method/shape.md). Adds to `gradient` unless null.
double measure_end_balance(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
