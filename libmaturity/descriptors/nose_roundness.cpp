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
constexpr double kNoseFitReach = 0.06;

}  // namespace

double measure_nose_roundness(const FramedOutline& outline, EdgeGradient* gradient) {
  const double reach = kNoseFitReach * outline.length;
  const CircleFit fit = fit_circle_between(outline, outline.nose, outline.nose_share, reach);
  // From twice the fitted stretch on: nearer points would only say the same again, with more noise.
  const TouchingDisc far = touching_disc(outline, outline.nose, fit.normal, 2 * fit.steps,
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
      add_circle_fit(*gradient, outline, fit, by_curvature);
      // A nose point that slides meets another bend.
      gradient->add_nose_slide(by_curvature * circle_fit_slope(outline, fit, reach));
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
    add_inscribed_radius(gradient, outline, whole, -value / whole.radius);
  }
  return value;
}

}  // namespace maturity
