#include "libmaturity/descriptors/edge_extents.h"

#include <algorithm>
#include <cmath>

#include "libmaturity/descriptors/greatest.h"

namespace maturity {

namespace {

/// Every point that may be the outermost, at most as many as `Greatest` takes: every second, third
/// ... where they are more.
std::vector<std::size_t> outermost(const FramedOutline& outline, const Point& direction,
                                   std::size_t top, double reach) {
  const double limit = outline.points[top].dot(direction) - reach;
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (outline.points[i].dot(direction) >= limit) {
      found.push_back(i);
    }
  }
  const std::size_t stride = found.size() / Greatest::kMost + 1;
  if (stride > 1) {
    std::vector<std::size_t> some;
    for (std::size_t k = 0; k < found.size(); k += stride) {
      some.push_back(found[k]);
    }
    return some;
  }
  return found;
}

}  // namespace

Point outward(Extreme side) {
  switch (side) {
    case Extreme::proximal:
      return -Point::UnitX();
    case Extreme::distal:
      return Point::UnitX();
    case Extreme::ventral:
      return Point::UnitY();
    case Extreme::dorsal:
      return -Point::UnitY();
  }
  return Point::UnitX();
}

EdgeExtents::EdgeExtents(const FramedOutline& outline, std::span<const double> covariance) {
  const double reach = Greatest::kOutOfReach * std::sqrt(covariance[0]);
  const std::array<std::size_t, 4> tops = {outline.most_proximal, outline.most_distal,
                                           outline.most_ventral, outline.most_dorsal};
  for (std::size_t side = 0; side < tops.size(); ++side) {
    const Point direction = outward(static_cast<Extreme>(side));
    const std::vector<std::size_t> points = outermost(outline, direction, tops[side], reach);
    Greatest greatest;
    for (const std::size_t i : points) {
      greatest.add(outline.points[i].dot(direction));
    }
    for (std::size_t a = 0; a < points.size(); ++a) {
      for (std::size_t b = a; b < points.size(); ++b) {
        const std::size_t steps = outline.steps_apart(points[a], points[b]);
        const double along_edge = steps < covariance.size() ? covariance[steps] : 0.0;
        greatest.set_covariance(a, b,
                                along_edge * outline.normals[points[a]].dot(direction) *
                                    outline.normals[points[b]].dot(direction));
      }
    }
    greatest.solve();
    for (std::size_t a = 0; a < points.size(); ++a) {
      if (greatest.chance(a) > 1e-3) {
        shares_[side].push_back({points[a], greatest.chance(a)});
      }
    }
    scatter_[side] = greatest.scatter();
  }
}

}  // namespace maturity
