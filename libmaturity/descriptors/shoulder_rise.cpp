#include "libmaturity/descriptors/shoulder_rise.h"

namespace maturity {

double measure_shoulder_rise(const FramedOutline& outline, int side, EdgeGradient* gradient) {
  const Point& stem = outline.points[outline.stem];
  std::size_t front = outline.stem;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& p = outline.points[i];
    if (side * (p.y() - stem.y()) > 0.0 && p.x() < outline.points[front].x()) {
      front = i;
    }
  }
  const double value = (stem.x() - outline.points[front].x()) / outline.length;
  add_if(gradient, outline.stem, 1.0 / outline.length, 0.0);
  add_if(gradient, front, -1.0 / outline.length, 0.0);
  add_length(gradient, outline, -value / outline.length);
  return value;
}

}  // namespace maturity
