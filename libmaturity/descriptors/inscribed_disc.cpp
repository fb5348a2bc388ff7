#include "libmaturity/descriptors/inscribed_disc.h"

#include <cmath>
#include <limits>

namespace maturity {

namespace {

/// Where the search along the axis ends, as a share of the length: the disc of radius r changes by
/// (1 - r cos) of a step squared, far below the edge error.
constexpr double kTolerance = 0.004;
constexpr int kBalanceSteps = 4;

struct Nearest {
  double squared = std::numeric_limits<double>::infinity();
  std::size_t point = 0;
};

/// Nearest point on the arc from `first` onward to `last` (both included).
Nearest nearest_on_arc(const FramedOutline& outline, std::size_t first, std::size_t last,
                       const Point& centre, std::size_t stride) {
  Nearest best;
  const std::size_t n = outline.size();
  const std::size_t count = (last + n - first) % n;
  for (std::size_t s = 0; s <= count; s += stride) {
    const std::size_t raw = first + s;
    const std::size_t i = raw >= n ? raw - n : raw;
    const double dx = outline.points[i].x() - centre.x();
    const double dy = outline.points[i].y() - centre.y();
    const double squared = dx * dx + dy * dy;
    if (squared < best.squared) {
      best = {squared, i};
    }
  }
  if (stride == 1) {
    return best;
  }
  // Back to the full grain around the coarse answer.
  const std::size_t middle = best.point;
  for (auto s = -static_cast<std::ptrdiff_t>(stride); s <= static_cast<std::ptrdiff_t>(stride);
       ++s) {
    const std::size_t i = outline.at(middle, s);
    const double squared = (outline.points[i] - centre).squaredNorm();
    if (squared < best.squared) {
      best = {squared, i};
    }
  }
  return best;
}

/// The disc centred at that x, moved across the axis until both arcs are equally far.
InscribedDisc disc_at(const FramedOutline& outline, double x, double y_start) {
  constexpr std::size_t kStride = 4;
  InscribedDisc disc;
  disc.centre = Point(x, y_start);
  double ventral = 0.0;
  double dorsal = 0.0;
  for (int step = 0; step < kBalanceSteps; ++step) {
    // Counter-clockwise from the most distal point: first the ventral arc.
    const Nearest up =
        nearest_on_arc(outline, outline.most_distal, outline.most_proximal, disc.centre, kStride);
    const Nearest down =
        nearest_on_arc(outline, outline.most_proximal, outline.most_distal, disc.centre, kStride);
    ventral = std::sqrt(up.squared);
    dorsal = std::sqrt(down.squared);
    disc.ventral = up.point;
    disc.dorsal = down.point;
    // Both distances answer to y with nearly unit rate near the widest place.
    disc.centre.y() += 0.5 * (ventral - dorsal);
  }
  disc.radius = 0.5 * (ventral + dorsal);
  return disc;
}

}  // namespace

InscribedDisc largest_inscribed_disc(const FramedOutline& outline) {
  const double low = outline.points[outline.most_proximal].x();
  constexpr double kGolden = 0.6180339887498949;
  // The centre of a fruit's largest disc lies in the middle half of its length or a little beside.
  double a = low + 0.2 * outline.length;
  double b = low + 0.8 * outline.length;
  double x1 = b - kGolden * (b - a);
  double x2 = a + kGolden * (b - a);
  InscribedDisc first = disc_at(outline, x1, 0.0);
  InscribedDisc second = disc_at(outline, x2, first.centre.y());
  while (b - a > kTolerance * outline.length) {
    if (first.radius > second.radius) {
      b = x2;
      x2 = x1;
      second = first;
      x1 = b - kGolden * (b - a);
      first = disc_at(outline, x1, second.centre.y());
    } else {
      a = x1;
      x1 = x2;
      first = second;
      x2 = a + kGolden * (b - a);
      second = disc_at(outline, x2, first.centre.y());
    }
  }
  return first.radius > second.radius ? first : second;
}

void add_inscribed_radius(EdgeGradient* gradient, const FramedOutline& outline,
                          const InscribedDisc& disc, double factor) {
  if (gradient == nullptr) {
    return;
  }
  for (const std::size_t i : {disc.ventral, disc.dorsal}) {
    gradient->add(i, 0.5 * factor * (outline.points[i] - disc.centre).normalized());
  }
}

}  // namespace maturity
