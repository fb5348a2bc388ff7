#pragma once

#include "libmaturity/descriptors/edge_gradient.h"
#include "libmaturity/descriptors/shoulder_fill.h"

namespace maturity {

/// `stem_hollow`: mean depth of the edge from 0.04 to 0.11 L of arc on both sides of the stem,
/// below the circle fitted to the shoulders, the edge from 0.16 to 0.31 L on both sides; over L;
/// less what full shoulders flatten the end by themselves, 0.06 (shoulder_fill - 0.614185). No
/// unit; about -0.04 to 0.04; 0 on a circle; below 0 where the stem end stands out, as on an
/// ellipse.
///
/// The edge next to the stem is left out because in photos a stub bridges it. Depth below the
/// convex hull, used once, was 0 on most ends; without the last term a flat end between full
/// shoulders passed for a hollow (docs/method/shape.md). Adds to `gradient` unless null.
double measure_stem_hollow(const FramedOutline& outline, const ShoulderFills& fills,
                           EdgeGradient* gradient);

}  // namespace maturity
