#include "libmaturity/descriptors/nose_roundness.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libmaturity/descriptors/inscribed_disc.h"
#include "libmaturity/descriptors/touching_disc.h"

namespace maturity {

namespace {

/// Arc to each side of the nose that the parabola is fitted to, in L.
constexpr double kFitReach = 0.08;

/// Least-squares parabola height = c0 + c1 t + c2 t^2 through the points around the nose, t along
/// the tangent, height along the outward normal. Even steps: c2 has a closed form.
struct NoseFit {
  double curvature = 0.0;
  std::ptrdiff_t steps = 0;
  /// d(curvature) per unit of height at distance k of the nose: scale * (k^2 - mean_square).
  double scale = 0.0;
  double mean_square = 0.0;
};

NoseFit fit_nose(const FramedOutline& outline) {
  NoseFit fit;
  const auto most = static_cast<std::ptrdiff_t>(outline.size() / 4);
  fit.steps = std::clamp<std::ptrdiff_t>(std::lround(kFitReach * outline.length / outline.step()),
                                         1, std::max<std::ptrdiff_t>(1, most));
  const Point& nose = outline.points[outline.nose];
  const Point across = outline.points[outline.at(outline.nose, fit.steps)] -
                       outline.points[outline.at(outline.nose, -fit.steps)];
  const Point normal = Point(across.y(), -across.x()).normalized();
  const Point tangent(-normal.y(), normal.x());
  double sum2 = 0.0;
  double sum4 = 0.0;
  double heights = 0.0;
  double heights2 = 0.0;
  double count = 0.0;
  for (std::ptrdiff_t k = -fit.steps; k <= fit.steps; ++k) {
    const Point d = outline.points[outline.at(outline.nose, k)] - nose;
    const double t2 = std::pow(d.dot(tangent), 2);
    const double height = d.dot(normal);
    sum2 += t2;
    sum4 += t2 * t2;
    heights += height;
    heights2 += height * t2;
    count += 1.0;
  }
  const double spread = count * sum4 - sum2 * sum2;
  if (!(spread > 0.0)) {
    return fit;
  }
  fit.curvature = -2.0 * (count * heights2 - sum2 * heights) / spread;
  fit.scale = -2.0 * count / spread;
  fit.mean_square = sum2 / count;
  return fit;
}

void add_fit(EdgeGradient& gradient, const FramedOutline& outline, const NoseFit& fit,
             double factor) {
  const Point& nose = outline.points[outline.nose];
  const Point& normal = outline.normals[outline.nose];
  const Point tangent(-normal.y(), normal.x());
  for (std::ptrdiff_t k = -fit.steps; k <= fit.steps; ++k) {
    const std::size_t i = outline.at(outline.nose, k);
    const double t = (outline.points[i] - nose).dot(tangent);
    gradient.add(i, factor * fit.scale * (t * t - fit.mean_square) * normal);
  }
}

}  // namespace

double measure_nose_roundness(const FramedOutline& outline, EdgeGradient* gradient) {
  const NoseFit fit = fit_nose(outline);
  const TouchingDisc far = touching_disc(outline, outline.nose, fit.steps + 1,
                                         static_cast<std::ptrdiff_t>(outline.size() / 2));
  const double curvature = std::max(fit.curvature, far.curvature);
  if (!(curvature > 0.0)) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  const InscribedDisc whole = largest_inscribed_disc(outline);
  const double value = 1.0 / (curvature * whole.radius);
  if (gradient != nullptr) {
    const double by_curvature = -value / curvature;
    if (fit.curvature >= far.curvature) {
      add_fit(*gradient, outline, fit, by_curvature);
    } else {
      // curvature = -2 n.d / d.d with d from the nose to the bounding point.
      const Point d = outline.points[far.bounding] - outline.points[outline.nose];
      const Point& normal = outline.normals[outline.nose];
      const Point g = by_curvature *
                      (-2.0 * normal / d.squaredNorm() - 2.0 * far.curvature * d / d.squaredNorm());
      gradient->add(far.bounding, g);
      gradient->add(outline.nose, -g);
    }
    add_inscribed_radius(gradient, outline, whole, -value / whole.radius);
  }
  return value;
}

}  // namespace maturity
