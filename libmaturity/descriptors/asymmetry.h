#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `cheek_asymmetry`: (ventral half-width - dorsal half-width) / W, each at its widest, from the
/// line along the axis through the centre of area. No unit; -1 to 1; 0 on an ellipse.
double measure_cheek_asymmetry(const FramedOutline& outline, EdgeGradient* gradient);

/// `shoulder_asymmetry`: how much further towards the stem end the ventral shoulder reaches than
/// the dorsal one, both taken half of their side's half-width out from the axis, over L. No unit;
/// 0 on an ellipse; negative where the ventral shoulder slopes away.
double measure_shoulder_asymmetry(const FramedOutline& outline, EdgeGradient* gradient);

/// `axis_asymmetry`: area of the symmetric difference between the outline and its mirror image
/// about the axis line through the centre of area, over the area. No unit; 0 to 2; 0 on an
/// ellipse. Taken on 128 equal strips across the axis, from the outermost edge of each side.
double measure_axis_asymmetry(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
