#include "libmaturity/descriptors/end_balance.h"

#include "libmaturity/descriptors/area_between.h"

namespace maturity {

namespace {

/// Share of the length left out at either end.
constexpr double kEnds = 0.2;

/// Adds what follows from the limit at that share of the length moving with the two ends.
void add_limit(EdgeGradient& gradient, const FramedOutline& outline, double share, double factor) {
  const double at = outline.points[outline.most_proximal].x() + share * outline.length;
  const double chord = chord_at(outline, at, +1) + chord_at(outline, at, -1);
  gradient.add(outline.most_proximal, factor * chord * (1.0 - share), 0.0);
  gradient.add(outline.most_distal, factor * chord * share, 0.0);
}

}  // namespace

double measure_end_balance(const FramedOutline& outline, EdgeGradient* gradient) {
  const double start = outline.points[outline.most_proximal].x();
  const double low = start + kEnds * outline.length;
  const double middle = start + 0.5 * outline.length;
  const double high = start + (1.0 - kEnds) * outline.length;
  double difference = 0.0;
  for (const int side : {+1, -1}) {
    difference +=
        area_between(outline, low, middle, side) - area_between(outline, middle, high, side);
  }
  if (gradient != nullptr) {
    const double factor = 1.0 / outline.area;
    for (const int side : {+1, -1}) {
      add_area_between(gradient, outline, low, middle, side, factor);
      add_area_between(gradient, outline, middle, high, side, -factor);
    }
    add_limit(*gradient, outline, kEnds, -factor);
    add_limit(*gradient, outline, 0.5, 2.0 * factor);
    add_limit(*gradient, outline, 1.0 - kEnds, -factor);
    add_area(gradient, outline, -difference * factor * factor);
  }
  return difference / outline.area;
}

}  // namespace maturity
