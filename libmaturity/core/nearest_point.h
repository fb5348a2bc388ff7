#pragma once

#include <cstddef>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Index of the point nearest to `target`, the first of several; 0 without points.
std::size_t nearest_point(const Polygon& points, const Point& target);

}  // namespace maturity
