#include "libmaturity/core/nearest_point.h"

#include <limits>

namespace maturity {

std::size_t nearest_point(const Polygon& points, const Point& target) {
  std::size_t nearest = 0;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double squared = (points[i] - target).squaredNorm();
    if (squared < least) {
      least = squared;
      nearest = i;
    }
  }
  return nearest;
}

}  // namespace maturity
