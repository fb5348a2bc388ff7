#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

void add_length(EdgeGradient* gradient, const FramedOutline& outline, double factor) {
  add_if(gradient, outline.most_distal, factor, 0.0);
  add_if(gradient, outline.most_proximal, -factor, 0.0);
}

void add_half_width(EdgeGradient* gradient, const FramedOutline& outline, int side, double factor) {
  if (side > 0) {
    add_if(gradient, outline.most_ventral, 0.0, factor);
  } else {
    add_if(gradient, outline.most_dorsal, 0.0, -factor);
  }
}

void add_area(EdgeGradient* gradient, const FramedOutline& outline, double factor) {
  if (gradient == nullptr) {
    return;
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point chord = outline.points[outline.next(i)] - outline.points[outline.before(i)];
    gradient->add(i, 0.5 * factor * chord.y(), -0.5 * factor * chord.x());
  }
}

void add_perimeter(EdgeGradient* gradient, const FramedOutline& outline, double factor) {
  if (gradient == nullptr) {
    return;
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& p = outline.points[i];
    const Point back = (p - outline.points[outline.before(i)]).normalized();
    const Point on = (p - outline.points[outline.next(i)]).normalized();
    gradient->add(i, factor * (back + on));
  }
}

}  // namespace maturity
