#include "libmaturity/descriptors/nose_roundness.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libmaturity/descriptors/circle_fit.h"
#include "libmaturity/descriptors/inscribed_disc.h"
#include "libmaturity/descriptors/touching_disc.h"

namespace maturity {

namespace {

/// Arc to each side of the nose that the parabola is fitted to, in L.
constexpr double kNoseFitReach = 0.09;

/// Bend of the disc at a point: that of the nose itself or of the disc that a farther point bounds.
struct NoseDisc {
  CircleFit fit;
  TouchingDisc far;
  double curvature() const { return std::max(fit.curvature, far.curvature); }
};

NoseDisc disc_at(const FramedOutline& outline, std::size_t at, double share, double reach) {
  NoseDisc disc;
  disc.fit = fit_circle_between(outline, at, share, reach);
  // From twice the fitted stretch on: nearer points would only say the same again, with more noise.
  disc.far = touching_disc(outline, at, disc.fit.normal, 2 * disc.fit.steps,
                           static_cast<std::ptrdiff_t>(outline.size() / 2));
  return disc;
}

/// How the curvature changes per unit of slide of the nose along the edge.
double slope_with_nose(const FramedOutline& outline, const NoseDisc& disc, double reach) {
  const std::ptrdiff_t half = std::max<std::ptrdiff_t>(1, disc.fit.steps / 2);
  const double after = disc_at(outline, outline.at(outline.nose, half), 0.0, reach).curvature();
  const double before = disc_at(outline, outline.at(outline.nose, -half), 0.0, reach).curvature();
  return (after - before) / (2.0 * static_cast<double>(half) * outline.step());
}

}  // namespace

double measure_nose_roundness(const FramedOutline& outline, EdgeGradient* gradient) {
  const double reach = kNoseFitReach * outline.length;
  const NoseDisc disc = disc_at(outline, outline.nose, outline.nose_share, reach);
  const CircleFit& fit = disc.fit;
  const TouchingDisc& far = disc.far;
  const double curvature = disc.curvature();
  if (!(curvature > 0.0)) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  const InscribedDisc whole = largest_inscribed_disc(outline);
  const double value = 1.0 / (curvature * whole.radius);
  if (gradient != nullptr) {
    const double by_curvature = -value / curvature;
    if (fit.curvature >= far.curvature) {
      add_circle_fit(*gradient, outline, fit, by_curvature);
    } else {
      // curvature = -2 n.d / d.d with d from the nose to the bounding point.
      const Point d = outline.points[far.bounding] - outline.points[outline.nose];
      const double squared = d.squaredNorm();
      const Point g = by_curvature * (-2.0 * fit.normal - 2.0 * far.curvature * d) / squared;
      gradient->add(far.bounding, g);
      gradient->add(outline.nose, -g);
      // The normal turns with its chord.
      const double length2 = fit.chord.squaredNorm();
      const Point by_chord =
          by_curvature * 2.0 * fit.chord.dot(d) / (squared * length2) * fit.normal;
      gradient->add(outline.at(outline.nose, fit.steps), by_chord);
      gradient->add(outline.at(outline.nose, -fit.steps), -by_chord);
    }
    // A nose point that slides meets another bend.
    gradient->add_nose_slide(by_curvature * slope_with_nose(outline, disc, reach));
    add_inscribed_radius(gradient, outline, whole, -value / whole.radius);
  }
  return value;
}

}  // namespace maturity
