#include "libmaturity/descriptors/shoulder_rise.h"

namespace maturity {

double measure_shoulder_rise(const FramedOutline& outline, int side, EdgeGradient* gradient) {
  const Point stem = outline.between(outline.stem, outline.stem_share);
  std::size_t front = outline.size();
  double least = stem.x();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& p = outline.points[i];
    if (side * (p.y() - stem.y()) > 0.0 && p.x() < least) {
      front = i;
      least = p.x();
    }
  }
  const double value = (stem.x() - least) / outline.length;
  if (front == outline.size()) {
    return 0.0;
  }
  add_if(gradient, outline.stem, 1.0 / outline.length, 0.0);
  add_if(gradient, front, -1.0 / outline.length, 0.0);
  if (gradient != nullptr) {
    const Point& normal = outline.normals[outline.stem];
    gradient->add_stem_slide(-normal.y() / outline.length);
  }
  add_length(gradient, outline, -value / outline.length);
  return value;
}

}  // namespace maturity
