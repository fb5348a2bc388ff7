#pragma once

#include <cstddef>
#include <span>

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Where the outline lies deepest below the hull side that bridges it.
struct HullDepth {
  double depth = 0.0;
  std::size_t point = 0;
  /// The two hull corners of the bridge.
  std::size_t from = 0;
  std::size_t to = 0;
};

/// Deepest point among those that `wanted(index)` accepts, under the sides between the given hull
/// corners (indices in rising order); depth 0 when nothing lies below.
template <typename Wanted>
HullDepth deepest_below(const FramedOutline& outline, std::span<const std::size_t> hull,
                        const Wanted& wanted) {
  HullDepth best;
  for (std::size_t h = 0; h < hull.size(); ++h) {
    const std::size_t from = hull[h];
    const std::size_t to = hull[h + 1 == hull.size() ? 0 : h + 1];
    if (outline.next(from) == to || from == to) {
      continue;
    }
    const Point& a = outline.points[from];
    const Point side = outline.points[to] - a;
    const double length = side.norm();
    if (!(length > 0.0)) {
      continue;
    }
    for (std::size_t i = outline.next(from); i != to; i = outline.next(i)) {
      const Point p = outline.points[i] - a;
      const double depth = (side.x() * p.y() - side.y() * p.x()) / length;
      if (depth > best.depth && wanted(i)) {
        best = {depth, i, from, to};
      }
    }
  }
  return best;
}

/// Adds factor * d(depth)/d(points).
void add_hull_depth(EdgeGradient* gradient, const FramedOutline& outline, const HullDepth& depth,
                    double factor);

}  // namespace maturity
