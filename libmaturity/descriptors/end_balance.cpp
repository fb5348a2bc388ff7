#include "libmaturity/descriptors/end_balance.h"

#include "libmaturity/descriptors/area_between.h"

namespace maturity {

double measure_end_balance(const FramedOutline& outline, EdgeGradient* gradient) {
  const double low = outline.points[outline.most_proximal].x();
  const double middle = low + 0.5 * outline.length;
  double stem_half = 0.0;
  for (const int side : {+1, -1}) {
    stem_half += area_between(outline, low, middle, side);
  }
  if (gradient != nullptr) {
    for (const int side : {+1, -1}) {
      add_area_between(gradient, outline, low, middle, side, 2.0 / outline.area);
      const double by_limit = 2.0 * chord_at(outline, middle, side) / outline.area;
      gradient->add(outline.most_proximal, 0.5 * by_limit, 0.0);
      gradient->add(outline.most_distal, 0.5 * by_limit, 0.0);
    }
    add_area(gradient, outline, -2.0 * stem_half / (outline.area * outline.area));
  }
  return 2.0 * stem_half / outline.area - 1.0;
}

}  // namespace maturity
