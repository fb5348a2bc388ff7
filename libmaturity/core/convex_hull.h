#pragma once

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Convex hull (monotone chain), turning from +x towards +y, collinear points left out.
/// Fewer than 3 distinct points come back as they are, sorted.
Polygon convex_hull(const Polygon& points);

}  // namespace maturity
