#include "libmaturity/descriptors/touching_disc.h"

namespace maturity {

TouchingDisc touching_disc(const FramedOutline& outline, std::size_t at, const Point& normal,
                           std::ptrdiff_t gap, std::ptrdiff_t reach) {
  const Point& p = outline.points[at];
  TouchingDisc disc;
  // A disc of radius R touching at p reaches q when |q - p|^2 = 2 R (inward normal . (q - p)).
  const auto look = [&](std::size_t k) {
    const Point d = outline.points[k] - p;
    const double curvature = -2.0 * normal.dot(d) / d.squaredNorm();
    if (curvature > disc.curvature) {
      disc.curvature = curvature;
      disc.bounding = k;
    }
  };
  std::size_t forward = outline.at(at, gap);
  std::size_t back = outline.at(at, -gap);
  for (std::ptrdiff_t s = gap; s <= reach; ++s) {
    look(forward);
    look(back);
    forward = outline.next(forward);
    back = outline.before(back);
  }
  return disc;
}

}  // namespace maturity
