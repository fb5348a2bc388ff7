#include "libmaturity/descriptors/solidity.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

/// Variance of the area between rough errors and their hull, per unit of arc, over the errors'
/// variance and their correlation length, on an edge of even curvature; `curved`: curvature times
/// the correlation length squared, over the errors' standard deviation. A curve through values
/// drawn at 0.02 to 4 (docs/method/shape.md), good to a tenth of the spread up to 2.
double hull_scatter(double curved) {
  constexpr double kFlattest = 0.1;
  const double x = std::max(curved, kFlattest);
  return 0.27 * std::pow(x, -0.6) * std::exp(-1.27 * std::pow(x, 1.17));
}

/// How much of a hull's side spans a hollow, by its greatest depth over the errors: 0 to 1.
double deep_share(const FramedOutline& outline, std::size_t from, std::size_t to, std::size_t count,
                  double sd) {
  const Point side = (outline.points[to] - outline.points[from]).normalized();
  double deepest = 0.0;
  for (std::size_t k = 1; k < count; ++k) {
    const Point p =
        outline.points[outline.at(from, static_cast<std::ptrdiff_t>(k))] - outline.points[from];
    deepest = std::max(deepest, side.x() * p.y() - side.y() * p.x());
  }
  const double depth = 2.0 * sd;
  return deepest > 0.0 ? deepest / std::hypot(deepest, depth) : 0.0;
}

/// Adds factor * d(area - hull's area): to first order where the hull spans a hollow, by what rough
/// errors leave below their own hull elsewhere.
void add_hollows(EdgeGradient& gradient, const FramedOutline& outline, const BendLine& line,
                 double factor) {
  const EdgeNoise& noise = gradient.noise();
  const double length = noise.correlation_length;
  // A side of the hull longer than this spans a hollow, not the next bump of the errors.
  constexpr double kHollow = 4.0;
  const std::size_t corners = outline.hull.size();
  double scatter = 0.0;
  for (std::size_t h = 0; h < corners; ++h) {
    const std::size_t from = outline.hull[h];
    const std::size_t to = outline.hull[h + 1 == corners ? 0 : h + 1];
    const std::size_t count = to > from ? to - from : to + outline.size() - from;
    if (static_cast<double>(count) * outline.step() > kHollow * length) {
      // A hollow no deeper than the errors has bumps in it that reach the hull.
      const double share = deep_share(outline, from, to, count, noise.sd);
      scatter += (1.0 - share * share) * static_cast<double>(count) * hull_scatter(0.0);
      for (std::size_t k = 0; k <= count; ++k) {
        const std::size_t i = outline.at(from, static_cast<std::ptrdiff_t>(k));
        const Point& before = outline.points[k == 0 ? to : outline.before(i)];
        const Point& after = outline.points[k == count ? from : outline.next(i)];
        const Point chord = 0.5 * share * factor * (after - before);
        gradient.add(i, chord.y(), -chord.x());
      }
    } else if (noise.sd > 0.0) {
      for (std::size_t k = 0; k < count; ++k) {
        const std::size_t i = outline.at(from, static_cast<std::ptrdiff_t>(k));
        scatter += hull_scatter(line.curvature[i] * length * length / noise.sd);
      }
    }
  }
  gradient.add_scatter(factor * factor * scatter * outline.step() * length * noise.variance());
}

}  // namespace

double measure_solidity(const FramedOutline& outline, const BendLine& line,
                        EdgeGradient* gradient) {
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
    add_area(gradient, outline, (1.0 - value) / hull_area);
    add_hollows(*gradient, outline, line, 1.0 / hull_area);
  }
  return value;
}

}  // namespace maturity
