#pragma once

#include <functional>

#include "libmaturity/core/polygon.h"
#include "libmaturity/descriptors/descriptors.h"

namespace maturity::shapes {

/// Area of a slice across half a circle of diameter 1, between two shares of its length, by the
/// midpoint rule; its moment about the middle of the length.
double half_circle_area(double from, double to);
double half_circle_moment(double from, double to);

/// Every descriptor of a smooth closed curve straight from its definition, by plain sums over
/// 32,768 places at equal steps of arc: no outline of 256 points, and none of the library's code.
/// `curve`: the point at a share of the way round (0 to 1), counter-clockwise with y up, the axis
/// along x, the beak side at y > 0; it starts at the nose. `stem_share`: where the stem is.
Descriptors values_by_integration(const std::function<Point(double)>& curve, double stem_share);

}  // namespace maturity::shapes
