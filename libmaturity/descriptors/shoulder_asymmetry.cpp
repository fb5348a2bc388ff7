#include "libmaturity/descriptors/shoulder_asymmetry.h"

#include <limits>

namespace maturity {

namespace {

/// Where the outline crosses a line along the axis: x, the side it lies on and the share along it.
struct FrontCrossing {
  double x = 0.0;
  std::size_t side = 0;
  double share = 0.0;
};

/// Most proximal crossing of the outline with the line y = `at`.
FrontCrossing front_at_height(const FramedOutline& outline, double at) {
  FrontCrossing best;
  best.x = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline.points[i];
    const Point& b = outline.points[outline.next(i)];
    if ((a.y() <= at) == (b.y() <= at)) {
      continue;
    }
    const double share = (at - a.y()) / (b.y() - a.y());
    const double x = a.x() + share * (b.x() - a.x());
    if (x < best.x) {
      best = {x, i, share};
    }
  }
  return best;
}

/// Adds factor * d(x of the crossing with y = height)/d(points), the height growing with the
/// half-width of its side.
void add_front(EdgeGradient* gradient, const FramedOutline& outline, const FrontCrossing& front,
               int side, double factor) {
  const Point& a = outline.points[front.side];
  const Point& b = outline.points[outline.next(front.side)];
  const double slope = (b.x() - a.x()) / (b.y() - a.y());
  gradient->add(front.side, factor * (1.0 - front.share), -factor * (1.0 - front.share) * slope);
  gradient->add(outline.next(front.side), factor * front.share, -factor * front.share * slope);
  add_half_width(gradient, side, factor * slope * 0.5 * side);
}

}  // namespace

double measure_shoulder_asymmetry(const FramedOutline& outline, EdgeGradient* gradient) {
  const FrontCrossing ventral = front_at_height(outline, 0.5 * outline.half_width_ventral);
  const FrontCrossing dorsal = front_at_height(outline, -0.5 * outline.half_width_dorsal);
  const double value = (dorsal.x - ventral.x) / outline.length;
  if (gradient != nullptr) {
    add_front(gradient, outline, dorsal, -1, 1.0 / outline.length);
    add_front(gradient, outline, ventral, +1, -1.0 / outline.length);
    add_length(gradient, -value / outline.length);
  }
  return value;
}

}  // namespace maturity
