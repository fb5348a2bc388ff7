#include "libmaturity/descriptors/touching_disc.h"

namespace maturity {

TouchingDisc touching_disc(const FramedOutline& outline, std::size_t at, const Point& normal,
                           double gap, std::ptrdiff_t reach) {
  const Point& p = outline.points[at];
  TouchingDisc disc;
  // A disc of radius R touching at p reaches q when |q - p|^2 = 2 R (inward normal . (q - p)).
  // Fractions are compared without dividing.
  double best_inward = 0.0;
  double best_squared = 1.0;
  const auto look_at = [&](const Point& q, std::size_t k) {
    const double dx = q.x() - p.x();
    const double dy = q.y() - p.y();
    const double inward = -(normal.x() * dx + normal.y() * dy);
    const double squared = dx * dx + dy * dy;
    if (inward * best_squared > best_inward * squared) {
      best_inward = inward;
      best_squared = squared;
      disc.bounding = k;
    }
  };
  const auto look = [&](std::size_t k) { look_at(outline.points[k], k); };
  // The gap itself first.
  const auto whole = static_cast<std::ptrdiff_t>(gap);
  const double share = gap - static_cast<double>(whole);
  for (const std::ptrdiff_t sense : {1, -1}) {
    const std::size_t before = outline.at(at, sense * whole);
    const std::size_t after = outline.at(at, sense * (whole + 1));
    look_at(outline.points[before] + share * (outline.points[after] - outline.points[before]),
            share < 0.5 ? before : after);
  }
  const std::ptrdiff_t first = whole + 1;
  // Far away the bound changes little from point to point: every second or fourth one will do.
  constexpr std::ptrdiff_t kNear = 12;
  constexpr std::ptrdiff_t kFar = 32;
  const std::size_t n = outline.size();
  std::size_t forward = outline.at(at, first);
  std::size_t back = outline.at(at, -first);
  for (std::ptrdiff_t s = first; s <= reach;) {
    look(forward);
    look(back);
    const std::size_t stride = s < kNear ? 1 : (s < kFar ? 2 : 4);
    forward = forward + stride >= n ? forward + stride - n : forward + stride;
    back = back >= stride ? back - stride : back + n - stride;
    s += static_cast<std::ptrdiff_t>(stride);
  }
  disc.curvature = 2.0 * best_inward / best_squared;
  return disc;
}

}  // namespace maturity
