#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `end_balance`: (area of the stem half - area of the nose half) / area, the halves parted at
/// L/2. No unit; -1 to 1; positive on egg-like fruit, 0 on an ellipse. Areas, because the widths
/// of the two ends answer to a beak as much as to taper. Adds to `gradient` unless null.
double measure_end_balance(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
