#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `stem_hollow`: greatest depth of the outline below the convex-hull side that bridges the two
/// shoulders across the stem point, over L; sought within 0.2 L of the proximal end and 0.2 L of
/// the stem point, so that a stem point that is a little off still finds it. No unit; 0 where the
/// stem end is convex, as on an ellipse. Adds to `gradient` unless null.
double measure_stem_hollow(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
