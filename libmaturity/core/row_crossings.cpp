#include "libmaturity/core/row_crossings.h"

#include <algorithm>

namespace maturity {

std::vector<double> row_crossings(const Polygon& polygon, double y) {
  std::vector<double> crossings;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
    const Point& a = polygon[i];
    const Point& b = polygon[j];
    if ((a.y() > y) != (b.y() > y)) {
      crossings.push_back((b.x() - a.x()) * (y - a.y()) / (b.y() - a.y()) + a.x());
    }
  }
  std::sort(crossings.begin(), crossings.end());
  return crossings;
}

}  // namespace maturity
