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
  // Far away the bound changes little from point to point: every second one will do.
  constexpr std::ptrdiff_t kNear = 16;
  for (std::ptrdiff_t s = gap; s <= reach; s += s < kNear ? 1 : 2) {
    look(outline.at(at, s));
    look(outline.at(at, -s));
  }
  return disc;
}

}  // namespace maturity
