#include "libmaturity/descriptors/asymmetry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace maturity {

namespace {

constexpr std::size_t kStrips = 128;

/// A crossing of the outline with a line, as the side it lies on and the share along it.
struct Crossing {
  double value = 0.0;
  std::size_t side = 0;
  double share = 0.0;
};

/// Most proximal crossing of the outline with the line y = `at`.
Crossing front_at_height(const FramedOutline& outline, double at) {
  Crossing best;
  best.value = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline.points[i];
    const Point& b = outline.points[outline.next(i)];
    if ((a.y() <= at) == (b.y() <= at)) {
      continue;
    }
    const double share = (at - a.y()) / (b.y() - a.y());
    const double x = a.x() + share * (b.x() - a.x());
    if (x < best.value) {
      best = {x, i, share};
    }
  }
  return best;
}

/// Adds factor * d(x of the crossing with y = height)/d(points), the height growing with the
/// half-width of its side.
void add_front(EdgeGradient* gradient, const FramedOutline& outline, const Crossing& front,
               int side, double factor) {
  const Point& a = outline.points[front.side];
  const Point& b = outline.points[outline.next(front.side)];
  const double slope = (b.x() - a.x()) / (b.y() - a.y());
  gradient->add(front.side, factor * (1.0 - front.share), -factor * (1.0 - front.share) * slope);
  gradient->add(outline.next(front.side), factor * front.share, -factor * front.share * slope);
  add_half_width(gradient, outline, side, factor * slope * 0.5 * side);
}

}  // namespace

double measure_cheek_asymmetry(const FramedOutline& outline, EdgeGradient* gradient) {
  const double value = (outline.half_width_ventral - outline.half_width_dorsal) / outline.width;
  add_half_width(gradient, outline, +1, (1.0 - value) / outline.width);
  add_half_width(gradient, outline, -1, (-1.0 - value) / outline.width);
  return value;
}

double measure_shoulder_asymmetry(const FramedOutline& outline, EdgeGradient* gradient) {
  const Crossing ventral = front_at_height(outline, 0.5 * outline.half_width_ventral);
  const Crossing dorsal = front_at_height(outline, -0.5 * outline.half_width_dorsal);
  const double value = (dorsal.value - ventral.value) / outline.length;
  if (gradient != nullptr) {
    add_front(gradient, outline, dorsal, -1, 1.0 / outline.length);
    add_front(gradient, outline, ventral, +1, -1.0 / outline.length);
    add_length(gradient, outline, -value / outline.length);
  }
  return value;
}

double measure_axis_asymmetry(const FramedOutline& outline, EdgeGradient* gradient) {
  const double low = outline.points[outline.most_proximal].x();
  const double strip = outline.length / static_cast<double>(kStrips);
  std::array<Crossing, kStrips> upper;
  std::array<Crossing, kStrips> lower;
  upper.fill({-std::numeric_limits<double>::infinity(), 0, 0.0});
  lower.fill({std::numeric_limits<double>::infinity(), 0, 0.0});
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline.points[i];
    const Point& b = outline.points[outline.next(i)];
    // Strip k has its middle at k + 1/2; those between the two ends are crossed.
    const double from = (std::min(a.x(), b.x()) - low) / strip - 0.5;
    const double to = (std::max(a.x(), b.x()) - low) / strip - 0.5;
    for (auto k = static_cast<std::size_t>(std::max(0.0, std::ceil(from)));
         k < kStrips && static_cast<double>(k) < to; ++k) {
      const double x = low + (static_cast<double>(k) + 0.5) * strip;
      const double share = (x - a.x()) / (b.x() - a.x());
      const double y = a.y() + share * (b.y() - a.y());
      if (y > upper[k].value) {
        upper[k] = {y, i, share};
      }
      if (y < lower[k].value) {
        lower[k] = {y, i, share};
      }
    }
  }
  double sum = 0.0;
  for (std::size_t k = 0; k < kStrips; ++k) {
    sum += std::abs(upper[k].value + lower[k].value);
  }
  const double value = 2.0 * strip * sum / outline.area;
  if (gradient == nullptr) {
    return value;
  }
  for (std::size_t k = 0; k < kStrips; ++k) {
    const double sign = upper[k].value + lower[k].value > 0.0 ? 1.0 : -1.0;
    const double factor = sign * 2.0 * strip / outline.area;
    for (const Crossing* crossing : {&upper[k], &lower[k]}) {
      const std::size_t j = outline.next(crossing->side);
      const Point along = outline.points[j] - outline.points[crossing->side];
      const double slope = along.y() / along.x();
      const double to_start = factor * (1.0 - crossing->share);
      const double to_end = factor * crossing->share;
      gradient->add(crossing->side, -to_start * slope, to_start);
      gradient->add(j, -to_end * slope, to_end);
    }
  }
  // An integral over x: moving the strips changes nothing to first order, the two ends close up.
  add_area(gradient, outline, -value / outline.area);
  return value;
}

}  // namespace maturity
