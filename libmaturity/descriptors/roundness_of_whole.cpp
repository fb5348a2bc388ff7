#include "libmaturity/descriptors/roundness_of_whole.h"

#include <numbers>

namespace maturity {

double measure_circularity(const FramedOutline& outline, EdgeGradient* gradient) {
  const double value =
      4.0 * std::numbers::pi * outline.area / (outline.perimeter * outline.perimeter);
  add_area(gradient, outline, value / outline.area);
  add_perimeter(gradient, outline, -2.0 * value / outline.perimeter);
  return value;
}

double measure_solidity(const FramedOutline& outline, EdgeGradient* gradient) {
  const std::size_t corners = outline.hull.size();
  double twice = 0.0;
  for (std::size_t h = 0; h < corners; ++h) {
    const Point& a = outline.points[outline.hull[h]];
    const Point& b = outline.points[outline.hull[h + 1 == corners ? 0 : h + 1]];
    twice += a.x() * b.y() - a.y() * b.x();
  }
  const double hull_area = 0.5 * twice;
  const double value = outline.area / hull_area;
  if (gradient != nullptr) {
    add_area(gradient, outline, 1.0 / hull_area);
    const double factor = -0.5 * value / hull_area;
    for (std::size_t h = 0; h < corners; ++h) {
      const Point& before = outline.points[outline.hull[h == 0 ? corners - 1 : h - 1]];
      const Point& after = outline.points[outline.hull[h + 1 == corners ? 0 : h + 1]];
      const Point chord = after - before;
      gradient->add(outline.hull[h], factor * chord.y(), -factor * chord.x());
    }
  }
  return value;
}

}  // namespace maturity
