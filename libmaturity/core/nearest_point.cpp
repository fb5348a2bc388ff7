#include "libmaturity/core/nearest_point.h"

#include <algorithm>

namespace maturity {

std::size_t nearest_point(const Polygon& points, const Point& target) {
  const auto nearer = [&](const Point& a, const Point& b) {
    return (a - target).squaredNorm() < (b - target).squaredNorm();
  };
  return static_cast<std::size_t>(std::min_element(points.begin(), points.end(), nearer) -
                                  points.begin());
}

}  // namespace maturity
