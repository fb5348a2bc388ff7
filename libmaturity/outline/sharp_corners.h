#pragma once

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Mends and reports corners that no fruit has: the outline jumped to something that is not its
/// edge, a leaf lying over it, a shadow, a stain. Where an outline turns inwards more sharply than
/// beside any beak or stalk cavity, a short stretch is replaced by the curve that the outline
/// beyond points to (a dent); a long one, or a point that stands out more sharply than any beak,
/// is left. Turns are taken over 1.3 % of the perimeter to either side.
///
/// Limits: sharpest true silhouettes of two makers of rendered fruit, 230 fruit: 36 degrees out,
/// 23 degrees in; of outlines on photos that follow the edge: 38 out.
///
/// @return whether no such corner is left.
bool mend_sharp_corners(Polygon& outline);

}  // namespace maturity
