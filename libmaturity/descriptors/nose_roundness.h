#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// `nose_roundness`: radius of the largest disc inside the outline that touches it at the nose
/// point, over the radius of the largest inscribed disc (in the spirit of Wadell, H. 1935, "Volume,
/// shape and roundness of quartz particles", J. Geol. 43:250-280: corner radius over inscribed
/// radius). No unit; above 0, at most about 1. On an ellipse b/a, a little more where the fitted
/// arc leaves a sharp tip. The radius at the nose itself comes from a circle fitted over 0.09 L of
/// arc to both sides; from 0.18 L on every point may bound the disc. NaN when the nose is not
/// convex.
double measure_nose_roundness(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
