#pragma once

#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `bending_energy`: integral of the squared curvature along the outline times the perimeter, over
/// 4 pi^2. No unit; 1 on a circle, more on everything else (Cauchy-Schwarz); the curvature is
/// smoothed over 0.08 L of arc. It grows with every corner, beak and hollow.
double measure_bending_energy(const FramedOutline& outline, const BendLine& line,
                              EdgeGradient* gradient);

/// `turning_shoulder`, `turning_nose`: by what angle the outline turns within the proximal
/// (distal) quarter of the length, from one side round the end to the other, over pi. No unit;
/// 1 where the sides run parallel to the axis at the quarter line, less on tapering ends. On an
/// ellipse 2 atan(sqrt(3) a/b) / pi. Directions are taken over 0.06 L of arc.
double measure_turning_shoulder(const FramedOutline& outline, EdgeGradient* gradient);
double measure_turning_nose(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
