#pragma once

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Largest coordinate, and largest edge error, that is taken.
inline constexpr double kLargestCoordinate = 1e7;

struct CheckedOutline {
  Polygon points;
  PolygonFacts facts;
};

/// The outline without points that repeat their neighbour, fit to be described. Throws
/// std::invalid_argument, naming the point, its value and the rule, for: fewer than 16 different
/// points, a coordinate that is not finite or beyond 1e7, no area, sides that cross or touch.
CheckedOutline checked_outline(const Polygon& outline);

}  // namespace maturity
