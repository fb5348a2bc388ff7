#include "libmaturity/descriptors/end_fill.h"

#include "libmaturity/descriptors/area_between.h"

namespace maturity {

namespace {

/// Share of the length that counts as an end of the fruit.
constexpr double kQuarter = 0.25;

double half_width(const FramedOutline& outline, int side) {
  return side > 0 ? outline.half_width_ventral : outline.half_width_dorsal;
}

double add_shoulder_fill(const FramedOutline& outline, int side, EdgeGradient* gradient,
                         double factor) {
  const double low = outline.points[outline.most_proximal].x();
  const double high = low + kQuarter * outline.length;
  const double rectangle = kQuarter * outline.length * half_width(outline, side);
  const double value = area_between(outline, low, high, side) / rectangle;
  if (gradient != nullptr) {
    add_area_between(gradient, outline, low, high, side, factor / rectangle);
    // The limit moves with both ends: high = low + (far end - low) / 4.
    const double by_limit = factor * chord_at(outline, high, side) / rectangle;
    gradient->add(outline.most_proximal, by_limit * (1.0 - kQuarter), 0.0);
    gradient->add(outline.most_distal, by_limit * kQuarter, 0.0);
    add_length(gradient, outline, -factor * value / outline.length);
    add_half_width(gradient, outline, side, -factor * value / half_width(outline, side));
  }
  return value;
}

}  // namespace

double measure_shoulder_fill(const FramedOutline& outline, int side, EdgeGradient* gradient) {
  return add_shoulder_fill(outline, side, gradient, 1.0);
}

double measure_shoulder_fill_mean(const FramedOutline& outline, EdgeGradient* gradient) {
  return 0.5 * (add_shoulder_fill(outline, +1, gradient, 0.5) +
                add_shoulder_fill(outline, -1, gradient, 0.5));
}

double measure_nose_fill(const FramedOutline& outline, EdgeGradient* gradient) {
  const double high = outline.points[outline.most_distal].x();
  const double low = high - kQuarter * outline.length;
  const double rectangle = kQuarter * outline.length * outline.width;
  const double value =
      (area_between(outline, low, high, +1) + area_between(outline, low, high, -1)) / rectangle;
  if (gradient != nullptr) {
    double by_limit = 0.0;
    for (const int side : {+1, -1}) {
      add_area_between(gradient, outline, low, high, side, 1.0 / rectangle);
      by_limit -= chord_at(outline, low, side) / rectangle;
      add_half_width(gradient, outline, side, -value / outline.width);
    }
    gradient->add(outline.most_distal, by_limit * (1.0 - kQuarter), 0.0);
    gradient->add(outline.most_proximal, by_limit * kQuarter, 0.0);
    add_length(gradient, outline, -value / outline.length);
  }
  return value;
}

}  // namespace maturity
