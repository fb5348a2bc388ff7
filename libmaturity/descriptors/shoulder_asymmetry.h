#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `shoulder_asymmetry`: how much further towards the stem end the ventral shoulder reaches than
/// the dorsal one, both taken half of their side's half-width out from the axis, over L. No unit;
/// 0 on an ellipse; negative where the ventral shoulder slopes away.
double measure_shoulder_asymmetry(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
