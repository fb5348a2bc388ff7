#include "libmaturity/core/polygon.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>
#include <string>

namespace maturity {

namespace {

double cross(const Point& a, const Point& b) { return a.x() * b.y() - a.y() * b.x(); }

double turn(const Point& a, const Point& b, const Point& c) { return cross(b - a, c - a); }

bool within(double low, double x, double high) { return low <= x && x <= high; }

bool on_segment(const Point& a, const Point& b, const Point& p) {
  return within(std::min(a.x(), b.x()), p.x(), std::max(a.x(), b.x())) &&
         within(std::min(a.y(), b.y()), p.y(), std::max(a.y(), b.y()));
}

bool segments_meet(const Point& a, const Point& b, const Point& c, const Point& d) {
  const double d1 = turn(c, d, a);
  const double d2 = turn(c, d, b);
  const double d3 = turn(a, b, c);
  const double d4 = turn(a, b, d);
  if (((d1 > 0 && d2 < 0) || (d1 < 0 && d2 > 0)) && ((d3 > 0 && d4 < 0) || (d3 < 0 && d4 > 0))) {
    return true;
  }
  return (d1 == 0 && on_segment(c, d, a)) || (d2 == 0 && on_segment(c, d, b)) ||
         (d3 == 0 && on_segment(a, b, c)) || (d4 == 0 && on_segment(a, b, d));
}

}  // namespace

double signed_area(const Polygon& polygon) {
  const std::size_t n = polygon.size();
  if (n < 3) {
    return 0.0;
  }
  // Relative to the first point: a far-away polygon would lose digits to cancellation.
  double twice = 0.0;
  Point a = polygon[1] - polygon[0];
  for (std::size_t i = 2; i < n; ++i) {
    const Point b = polygon[i] - polygon[0];
    twice += cross(a, b);
    a = b;
  }
  return 0.5 * twice;
}

double perimeter(const Polygon& polygon) {
  double sum = 0.0;
  for (std::size_t i = 1; i < polygon.size(); ++i) {
    sum += (polygon[i] - polygon[i - 1]).norm();
  }
  return polygon.empty() ? 0.0 : sum + (polygon.front() - polygon.back()).norm();
}

PolygonFacts polygon_facts(const Polygon& polygon) {
  if (polygon.size() < 3) {
    return {signed_area(polygon), perimeter(polygon), area_centroid(polygon)};
  }
  const Point& origin = polygon[0];
  Point a = polygon[1] - origin;
  double length = a.norm();
  double twice = 0.0;
  Point weighted = Point::Zero();
  for (std::size_t i = 2; i < polygon.size(); ++i) {
    const Point b = polygon[i] - origin;
    const double t = cross(a, b);
    weighted += t / 3.0 * (a + b);
    twice += t;
    length += (b - a).norm();
    a = b;
  }
  return {0.5 * twice, length + a.norm(),
          twice == 0.0 ? area_centroid(polygon) : Point(origin + weighted / twice)};
}

Point area_centroid(const Polygon& polygon) {
  if (polygon.empty()) {
    throw std::invalid_argument("polygon: it has no points, at least 1 is needed for a centre");
  }
  Point weighted = Point::Zero();
  double twice = 0.0;
  const Point& origin = polygon[0];
  Point a = polygon.size() > 1 ? Point(polygon[1] - origin) : Point(Point::Zero());
  for (std::size_t i = 2; i < polygon.size(); ++i) {
    const Point b = polygon[i] - origin;
    const double t = cross(a, b);
    weighted += t / 3.0 * (a + b);
    twice += t;
    a = b;
  }
  if (twice == 0.0) {
    Point sum = Point::Zero();
    for (const Point& p : polygon) {
      sum += p;
    }
    return sum / static_cast<double>(polygon.size());
  }
  return origin + weighted / twice;
}

Polygon counter_clockwise_on_screen(Polygon polygon) {
  if (signed_area(polygon) > 0.0) {
    std::reverse(polygon.begin(), polygon.end());
  }
  return polygon;
}

Polygon resample_by_arc_length(const Polygon& polygon, std::size_t count) {
  const std::size_t n = polygon.size();
  if (n < 3 || count < 3) {
    throw std::invalid_argument("resample_by_arc_length: " + std::to_string(n) + " points to " +
                                std::to_string(count) + ", both must be at least 3");
  }
  const double total = perimeter(polygon);
  if (!(total > 0.0)) {
    throw std::invalid_argument("resample_by_arc_length: the outline has no length");
  }
  Polygon result;
  result.reserve(count);
  const double step = total / static_cast<double>(count);
  std::size_t side = 0;
  double done = 0.0;
  double length = (polygon[1] - polygon[0]).norm();
  for (std::size_t k = 0; k < count; ++k) {
    const double target = step * static_cast<double>(k);
    while (done + length < target && side + 1 < n) {
      done += length;
      ++side;
      length = (polygon[(side + 1) % n] - polygon[side]).norm();
    }
    const double t = length > 0.0 ? std::min(1.0, (target - done) / length) : 0.0;
    result.emplace_back(polygon[side] + t * (polygon[(side + 1) % n] - polygon[side]));
  }
  return result;
}

bool is_simple(const Polygon& polygon) {
  const std::size_t n = polygon.size();
  if (n < 3) {
    return false;
  }
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto left = [&](std::size_t i) {
    return std::min(polygon[i].x(), polygon[(i + 1) % n].x());
  };
  const auto right = [&](std::size_t i) {
    return std::max(polygon[i].x(), polygon[(i + 1) % n].x());
  };
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return left(a) < left(b); });
  for (std::size_t a = 0; a < n; ++a) {
    const std::size_t i = order[a];
    for (std::size_t b = a + 1; b < n && left(order[b]) <= right(i); ++b) {
      const std::size_t j = order[b];
      if ((i + 1) % n == j || (j + 1) % n == i) {
        continue;
      }
      if (segments_meet(polygon[i], polygon[(i + 1) % n], polygon[j], polygon[(j + 1) % n])) {
        return false;
      }
    }
  }
  return true;
}

bool contains(const Polygon& polygon, const Point& point) {
  bool inside = false;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
    const Point& a = polygon[i];
    const Point& b = polygon[j];
    if ((a.y() > point.y()) != (b.y() > point.y()) &&
        point.x() < (b.x() - a.x()) * (point.y() - a.y()) / (b.y() - a.y()) + a.x()) {
      inside = !inside;
    }
  }
  return inside;
}

Eigen::AlignedBox2d bounding_box(const Polygon& polygon) {
  Eigen::AlignedBox2d box;
  for (const Point& p : polygon) {
    box.extend(p);
  }
  return box;
}

double distance_to_outline(const Polygon& polygon, const Point& point) {
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Point& a = polygon[i];
    const Point along = polygon[(i + 1) % polygon.size()] - a;
    const double length2 = along.squaredNorm();
    const double t = length2 > 0.0 ? std::clamp((point - a).dot(along) / length2, 0.0, 1.0) : 0.0;
    best = std::min(best, (point - a - t * along).squaredNorm());
  }
  return std::sqrt(best);
}

}  // namespace maturity
