#pragma once

#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `beak_curvature`: greatest curvature of the outline, averaged with triangular weights that reach
/// 0.08 L of arc to both sides, within the distal 45 % on the ventral side, times L. No unit; never
/// stuck at 0. On an ellipse 2 a^2/b^2 at the tip before smoothing. NaN when no point lies there.
double measure_beak_curvature(const FramedOutline& outline, const BendLine& line,
                              EdgeGradient* gradient);

}  // namespace maturity
