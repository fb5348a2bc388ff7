#pragma once

#include "libmaturity/descriptors/edge_gradient.h"
#include "libmaturity/descriptors/inscribed_disc.h"

namespace maturity {

/// `nose_roundness`: radius of the largest disc inside the outline that touches it at the nose
/// point, over the radius of the largest inscribed disc (in the spirit of Wadell, H. 1935, "Volume,
/// shape and roundness of quartz particles", J. Geol. 43:250-280: corner radius over inscribed
/// radius). No unit; above 0, mostly below 1. On an ellipse b/a, a little more where the fitted
/// arc leaves a sharp tip. The curvature at the nose itself comes from a circle fitted over 0.09 L
/// of arc to both sides; from 0.18 L on every point may bound the disc. Where that disc is smaller
/// than the nose's own circle, the latter counts for a quarter of the curvature (a hollow one as
/// 0): bounded noses would all look alike, however blunt (docs/method/shape.md). NaN when the nose
/// is not convex.
/// `whole`: the largest disc inside the outline.
double measure_nose_roundness(const FramedOutline& outline, const InscribedDisc& whole,
                              EdgeGradient* gradient);

}  // namespace maturity
