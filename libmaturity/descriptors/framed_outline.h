#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// One outline laid into its fruit frame, with what several descriptors need.
///
/// Frame: +x along the axis from stem end to nose, +y to the ventral (beak) side, origin at the
/// centre of area, so that a badly placed stem point does not move the line that parts the sides.
/// The points run counter-clockwise with y up (stem end over dorsal side to nose). The unit is that
/// of the outline.
struct FramedOutline {
  Polygon points;
  /// Outward unit normal at each point, from the chord of its two neighbours.
  Polygon normals;
  double area = 0.0;
  double perimeter = 0.0;
  /// Extents: length along x, half-widths of the two sides measured from the axis (both >= 0).
  double length = 0.0;
  double width = 0.0;
  double half_width_ventral = 0.0;
  double half_width_dorsal = 0.0;
  /// Index of the point that is extreme in that direction.
  std::size_t most_proximal = 0;
  std::size_t most_distal = 0;
  std::size_t most_ventral = 0;
  std::size_t most_dorsal = 0;
  /// Points of the outline nearest to the pose's stem and nose.
  std::size_t stem = 0;
  std::size_t nose = 0;
  /// The places themselves, on the line between the points: this share of the way from the nearest
  /// point to the next (-1/2 to 1/2; negative: towards the one before).
  double stem_share = 0.0;
  double nose_share = 0.0;
  /// Corners of the convex hull, as indices in rising order.
  std::vector<std::size_t> hull;
  /// False when nobody knows the beak side: +y is then arbitrary.
  bool side_known = true;

  std::size_t size() const { return points.size(); }
  std::size_t next(std::size_t i) const { return i + 1 == points.size() ? 0 : i + 1; }
  std::size_t before(std::size_t i) const { return i == 0 ? points.size() - 1 : i - 1; }
  /// The point `steps` further (or back).
  std::size_t at(std::size_t i, std::ptrdiff_t steps) const {
    const auto n = static_cast<std::ptrdiff_t>(points.size());
    std::ptrdiff_t k = static_cast<std::ptrdiff_t>(i) + steps;
    while (k < 0) {
      k += n;
    }
    while (k >= n) {
      k -= n;
    }
    return static_cast<std::size_t>(k);
  }
  /// Distance from the most proximal point along the axis, as a share of the length.
  double along(std::size_t i) const { return (points[i].x() - points[most_proximal].x()) / length; }
  /// Position at a share (-1 to 1) of the way from a point towards its neighbour.
  Point between(std::size_t i, double share) const {
    const Point& towards = points[share < 0.0 ? before(i) : next(i)];
    return points[i] + std::abs(share) * (towards - points[i]);
  }
  /// Distance of two points along the outline, the shorter way, in points and in units of length.
  std::size_t steps_apart(std::size_t i, std::size_t j) const {
    const std::size_t between = i > j ? i - j : j - i;
    return std::min(between, points.size() - between);
  }
  double apart(std::size_t i, std::size_t j) const {
    return static_cast<double>(steps_apart(i, j)) * step();
  }
  /// Mean distance between neighbours.
  double step() const { return perimeter / static_cast<double>(points.size()); }
};

/// Lays a closed simple polygon (at least 3 points, area not zero, y down, any direction) into the
/// frame of the pose. The points are kept as they are. When the pose's side is 0 the side that is
/// on the left of the axis as seen on the screen becomes +y.
FramedOutline frame_outline(const Polygon& outline, const Pose& pose);
/// The same of an outline whose area, centre and hull are known already.
FramedOutline frame_outline(const OutlineTraits& traits, const Pose& pose);

/// The same outline turned over: y changes sign. Used where the side is not known.
FramedOutline turned_over(const FramedOutline& outline);

}  // namespace maturity
