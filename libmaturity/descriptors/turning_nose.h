#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `turning_nose`: by what angle the outline turns within the distal quarter of the length, from
/// one side round the nose to the other, over pi. No unit; 1 where the sides run parallel to the
/// axis at the quarter line, less on tapering ends. On an ellipse 2 atan(sqrt(3) a/b) / pi.
/// Directions are taken over 0.06 L of arc.
double measure_turning_nose(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
