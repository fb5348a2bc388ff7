#include "libmaturity/core/convex_hull.h"

#include <algorithm>

namespace maturity {

Polygon convex_hull(const Polygon& points) {
  Polygon sorted = points;
  std::sort(sorted.begin(), sorted.end(), [](const Point& a, const Point& b) {
    return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y());
  });
  sorted.erase(std::unique(sorted.begin(), sorted.end(),
                           [](const Point& a, const Point& b) { return a == b; }),
               sorted.end());
  const std::size_t n = sorted.size();
  if (n < 3) {
    return sorted;
  }
  const auto turns_left = [](const Point& a, const Point& b, const Point& c) {
    return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x()) > 0.0;
  };
  Polygon hull(2 * n);
  std::size_t k = 0;
  for (std::size_t i = 0; i < n; ++i) {
    while (k >= 2 && !turns_left(hull[k - 2], hull[k - 1], sorted[i])) {
      --k;
    }
    hull[k++] = sorted[i];
  }
  const std::size_t lower = k + 1;
  for (std::size_t i = n - 1; i-- > 0;) {
    while (k >= lower && !turns_left(hull[k - 2], hull[k - 1], sorted[i])) {
      --k;
    }
    hull[k++] = sorted[i];
  }
  hull.resize(k - 1);
  return hull;
}

}  // namespace maturity
