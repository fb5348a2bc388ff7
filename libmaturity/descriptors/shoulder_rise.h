#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `shoulder_rise_ventral` (side +1), `shoulder_rise_dorsal` (side -1): how far the most proximal
/// point on that side of the stem point lies in front of the stem point along the axis, over L.
/// No unit; 0 or more; 0 where the shoulder falls away from the stem, as on an ellipse. Adds to
/// `gradient` unless null.
double measure_shoulder_rise(const FramedOutline& outline, int side, EdgeGradient* gradient);

}  // namespace maturity
