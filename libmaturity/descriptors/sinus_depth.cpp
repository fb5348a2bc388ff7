#include "libmaturity/descriptors/sinus_depth.h"

#include <vector>

#include "libmaturity/core/simple_hull.h"
#include "libmaturity/descriptors/hull_depth.h"

namespace maturity {

namespace {
/// Where the sinus is sought: share of the length from the proximal end.
constexpr double kSinusFrom = 0.4;
}  // namespace

double measure_sinus_depth(const FramedOutline& outline, const Beak& beak, EdgeGradient* gradient) {
  HullDepth sinus;
  const auto wanted = [&](std::size_t i) {
    return outline.points[i].y() > 0.0 && outline.along(i) > kSinusFrom;
  };
  if (!(beak.height > 0.0)) {
    sinus = deepest_below(outline, outline.hull, wanted);
  } else {
    // The outline from one flank of the beak round to the other; the hull of that stretch.
    Polygon rest;
    std::vector<std::size_t> where;
    rest.reserve(outline.size());
    where.reserve(outline.size());
    for (std::size_t i = beak.to;; i = outline.next(i)) {
      rest.push_back(outline.points[i]);
      where.push_back(i);
      if (i == beak.from) {
        break;
      }
    }
    std::vector<std::size_t> hull = simple_polygon_hull(rest);
    for (std::size_t& corner : hull) {
      corner = where[corner];
    }
    const auto outside_beak = [&](std::size_t i) {
      const std::size_t n = outline.size();
      const std::size_t from_start = (i + n - beak.from) % n;
      const std::size_t span = (beak.to + n - beak.from) % n;
      return from_start > span && wanted(i);
    };
    sinus = deepest_below(outline, hull, outside_beak);
  }
  const double value = sinus.depth / outline.length;
  add_hull_depth(gradient, outline, sinus, 1.0 / outline.length);
  add_length(gradient, outline, -value / outline.length);
  return value;
}

}  // namespace maturity
