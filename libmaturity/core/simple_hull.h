#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Corners of the convex hull of a simple closed polygon, as indices in rising order. Walks once
/// along the line (Melkman, A. 1987, "On-line construction of the convex hull of a simple
/// polyline", Inf. Process. Lett. 25:11-12; from memory), so O(n) where sorting takes O(n log n).
/// Points on a hull side are left out. Fewer than 3 points: all of them. The polygon must be
/// simple: otherwise the answer may miss corners.
std::vector<std::size_t> simple_polygon_hull(const Polygon& polygon);

}  // namespace maturity
