#pragma once

#include "libmaturity/core/polygon.h"

namespace maturity {

/// The outline without points that repeat their neighbour, fit to be described. Throws
/// std::invalid_argument, naming the point, its value and the rule, for: fewer than 16 different
/// points, a coordinate that is not finite or beyond 1e7, no area, sides that cross or touch.
Polygon checked_outline(const Polygon& outline);

}  // namespace maturity
