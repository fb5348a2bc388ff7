#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `axis_asymmetry`: area of the symmetric difference between the outline and its mirror image
/// about the axis line through the centre of area, over the area. No unit; 0 to 2; 0 on an
/// ellipse. Taken on 128 equal strips across the axis, as the difference of the breadths inside the
/// outline on either side: where the end beside the stem is hollow, what lies in the hollow does
/// not count.
double measure_axis_asymmetry(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
