#pragma once

#include <Eigen/Geometry>
#include <cstddef>
#include <vector>

namespace maturity {

using Point = Eigen::Vector2d;

/// Closed polygon: the side from the last point back to the first is implied, the first point is
/// not repeated. The frame and unit (upright pixels, board mm, fruit mm) are named where it is
/// used.
using Polygon = std::vector<Point>;

/// Area with sign: positive when the points turn from +x towards +y. In pixel axes (y down) a
/// polygon that is counter-clockwise on screen is therefore negative. 0 for fewer than 3 points.
double signed_area(const Polygon& polygon);

/// Length of the closed line, in the polygon's unit.
double perimeter(const Polygon& polygon);

/// Centre of area. Falls back to the mean of the points when the area is zero.
/// Throws std::invalid_argument on an empty polygon.
Point area_centroid(const Polygon& polygon);

/// All three at once.
struct PolygonFacts {
  double signed_area = 0.0;
  double perimeter = 0.0;
  Point centroid = Point::Zero();
};

/// Throws std::invalid_argument on an empty polygon.
PolygonFacts polygon_facts(const Polygon& polygon);

/// The same points, counter-clockwise as seen on a screen with y down (the project's convention for
/// pixel outlines): signed_area <= 0.
Polygon counter_clockwise_on_screen(Polygon polygon);

/// `count` points at equal steps of arc length along the closed line, starting at the first point.
/// Throws std::invalid_argument for fewer than 3 points, count < 3, or zero length.
Polygon resample_by_arc_length(const Polygon& polygon, std::size_t count);

/// True when no two sides cross or touch, other than neighbours at their common point.
/// Sweep by sorted x extent: O(n log n) for the outlines met here, O(n^2) at worst.
bool is_simple(const Polygon& polygon);

/// True when the point is inside (even-odd rule; points on the line may fall on either side).
bool contains(const Polygon& polygon, const Point& point);

/// Smallest upright rectangle around the points, in their unit; empty without points.
Eigen::AlignedBox2d bounding_box(const Polygon& polygon);

/// Shortest distance from the point to the closed line.
double distance_to_outline(const Polygon& polygon, const Point& point);

}  // namespace maturity
