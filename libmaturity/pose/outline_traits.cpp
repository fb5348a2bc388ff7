#include "libmaturity/pose/outline_traits.h"

#include <cmath>
#include <utility>

#include "libmaturity/core/simple_hull.h"

namespace maturity {

namespace {

/// Second and third moments about the centre, from sums over the sides (x0 y1 - x1 y0 times the
/// quadratic means of the side; Green's theorem).
void fill_moments(OutlineTraits& traits) {
  double xx = 0.0;
  double yy = 0.0;
  double xy = 0.0;
  Point a = traits.points.back() - traits.centre;
  for (const Point& p : traits.points) {
    const Point b = p - traits.centre;
    const double c = a.x() * b.y() - b.x() * a.y();
    xx += c * (a.x() * a.x() + a.x() * b.x() + b.x() * b.x());
    yy += c * (a.y() * a.y() + a.y() * b.y() + b.y() * b.y());
    traits.third[0] += c * (a.x() + b.x()) * (a.x() * a.x() + b.x() * b.x());
    traits.third[1] += c * (a.y() * (3.0 * a.x() * a.x() + 2.0 * a.x() * b.x() + b.x() * b.x()) +
                            b.y() * (3.0 * b.x() * b.x() + 2.0 * a.x() * b.x() + a.x() * a.x()));
    traits.third[2] += c * (a.x() * (3.0 * a.y() * a.y() + 2.0 * a.y() * b.y() + b.y() * b.y()) +
                            b.x() * (3.0 * b.y() * b.y() + 2.0 * a.y() * b.y() + a.y() * a.y()));
    traits.third[3] += c * (a.y() + b.y()) * (a.y() * a.y() + b.y() * b.y());
    xy += c * (a.x() * b.y() + 2.0 * a.x() * a.y() + 2.0 * b.x() * b.y() + b.x() * a.y());
    a = b;
  }
  xx /= 12.0;
  yy /= 12.0;
  xy /= 24.0;
  constexpr std::array<double, 4> kThird = {20.0, 60.0, 60.0, 20.0};
  for (std::size_t k = 0; k < kThird.size(); ++k) {
    traits.third[k] /= kThird[k];
  }
  const double angle = 0.5 * std::atan2(2.0 * xy, xx - yy);
  traits.long_direction = Point(std::cos(angle), std::sin(angle));
  const double half_sum = 0.5 * (xx + yy);
  const double half_range = std::hypot(0.5 * (xx - yy), xy);
  traits.moment_elongation = std::sqrt((half_sum + half_range) / (half_sum - half_range));
}

void fill_bends(OutlineTraits& traits) {
  traits.bend.resize(traits.size());
  for (std::size_t i = 0; i < traits.size(); ++i) {
    const Point u = traits.points[i] - traits.points[traits.at(i, -kBendSteps)];
    const Point v = traits.points[traits.at(i, kBendSteps)] - traits.points[i];
    const double uu = u.squaredNorm();
    const double vv = v.squaredNorm();
    const double length = std::sqrt(0.5 * (uu + vv));
    const double cross = u.x() * v.y() - u.y() * v.x();
    const double dot = u.dot(v);
    // tan(x/2) = sin/(1 + cos): cheaper than the angle itself and as good for comparing bends.
    traits.bend[i] = 2.0 * cross / (std::sqrt(uu * vv) + dot) / length;
  }
}

void fill_depths(OutlineTraits& traits) {
  traits.depth.assign(traits.size(), 0.0);
  const std::vector<std::size_t>& hull = traits.hull;
  for (std::size_t h = 0; h < hull.size(); ++h) {
    const std::size_t from = hull[h];
    const std::size_t to = hull[h + 1 == hull.size() ? 0 : h + 1];
    const Point side = traits.points[to] - traits.points[from];
    const double length = side.norm();
    for (std::size_t i = traits.at(from, 1); i != to && length > 0.0; i = traits.at(i, 1)) {
      const Point p = traits.points[i] - traits.points[from];
      traits.depth[i] = (side.x() * p.y() - side.y() * p.x()) / length;
    }
  }
}

}  // namespace

OutlineTraits plain_traits(Polygon even) {
  OutlineTraits traits;
  traits.points = std::move(even);
  const PolygonFacts facts = polygon_facts(traits.points);
  traits.centre = facts.centroid;
  traits.area = facts.signed_area;
  traits.perimeter = facts.perimeter;
  traits.step = facts.perimeter / static_cast<double>(traits.size());
  traits.hull = simple_polygon_hull(traits.points);
  return traits;
}

OutlineTraits outline_traits(Polygon even) {
  OutlineTraits traits = plain_traits(std::move(even));
  fill_moments(traits);
  fill_bends(traits);
  fill_depths(traits);
  return traits;
}

}  // namespace maturity
