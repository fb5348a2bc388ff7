#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `stem_bend`: curvature of the circle fitted to the outline within 0.12 L of arc to both sides of
/// the stem point, times L. No unit; near 2 a^2/b^2 on a long ellipse, 2 on a circle; falls through
/// 0 where a hollow forms. `stem_hollow` stays 0 until the stem end is concave; this one also tells
/// round from flat stem ends.
double measure_stem_bend(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
