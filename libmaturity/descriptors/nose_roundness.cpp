#include "libmaturity/descriptors/nose_roundness.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "libmaturity/descriptors/circle_fit.h"
#include "libmaturity/descriptors/greatest.h"
#include "libmaturity/descriptors/inscribed_disc.h"
#include "libmaturity/descriptors/touching_disc.h"

namespace maturity {

namespace {

/// Arc to each side of the nose that the parabola is fitted to, in L.
constexpr double kNoseFitReach = 0.09;
/// What the nose's own bend counts for beside the disc that farther points bound. More orders blunt
/// noses better (docs/method/shape.md), on photos with more noise.
constexpr double kOwnShare = 0.25;

/// Bends at the nose: that of the nose itself and that of the disc that a farther point bounds.
struct NoseDisc {
  CircleFit fit;
  TouchingDisc far;
  /// Of the largest disc inside.
  double bounded() const { return std::max(fit.curvature, far.curvature); }
  /// A little towards its own where the nose is blunter than that disc.
  double curvature() const {
    return kOwnShare * std::max(0.0, fit.curvature) + (1.0 - kOwnShare) * bounded();
  }
};

/// At the place that share of the way towards a neighbour, each bend interpolated.
NoseDisc disc_at(const FramedOutline& outline, std::size_t at, double share, double reach) {
  const auto far_from = [&](const CircleFit& fit) {
    // From twice the fitted stretch on: nearer points would only say the same again, with more
    // noise.
    return touching_disc(outline, fit.at, fit.normal, 2.0 * fit.reach(),
                         static_cast<std::ptrdiff_t>(outline.size() / 2));
  };
  NoseDisc disc;
  disc.fit = fit_circle(outline, at, reach);
  disc.far = far_from(disc.fit);
  if (share != 0.0) {
    const CircleFit beside =
        fit_circle(outline, share < 0.0 ? outline.before(at) : outline.next(at), reach);
    const double towards = std::abs(share);
    disc.fit.curvature += towards * (beside.curvature - disc.fit.curvature);
    disc.far.curvature += towards * (far_from(beside).curvature - disc.far.curvature);
  }
  return disc;
}

/// How the curvature changes per unit of slide of the nose along the edge.
double slope_with_nose(const FramedOutline& outline, const NoseDisc& disc, double reach) {
  const std::ptrdiff_t half = std::max<std::ptrdiff_t>(1, disc.fit.steps / 2);
  const double after = disc_at(outline, outline.at(outline.nose, half), 0.0, reach).curvature();
  const double before = disc_at(outline, outline.at(outline.nose, -half), 0.0, reach).curvature();
  return (after - before) / (2.0 * static_cast<double>(half) * outline.step());
}

/// How one bound of the disc answers to movements of the edge: the circle fitted at the nose, or a
/// farther point.
struct Bound {
  double curvature = 0.0;
  /// The farther point and its answer; the nose answers the other way.
  std::size_t point = 0;
  Point by_point = Point::Zero();
  /// d(curvature)/d(chord) of the fitted stretch, whose normal the disc touches along.
  Point by_chord = Point::Zero();
};

Bound bound_by(const FramedOutline& outline, const CircleFit& fit, std::size_t point) {
  // curvature = -2 n.d / d.d with d from the nose to the point.
  const Point d = outline.points[point] - outline.points[fit.at];
  const double squared = d.squaredNorm();
  Bound bound;
  bound.point = point;
  bound.curvature = -2.0 * fit.normal.dot(d) / squared;
  bound.by_point = (-2.0 * fit.normal - 2.0 * bound.curvature * d) / squared;
  bound.by_chord = 2.0 * fit.chord.dot(d) / (squared * fit.chord.squaredNorm()) * fit.normal;
  return bound;
}

/// The farther points that may bound the disc, few enough for `Greatest` and the fit.
std::vector<Bound> far_bounds(const FramedOutline& outline, const CircleFit& fit, double least) {
  std::vector<Bound> found;
  const auto half = static_cast<std::ptrdiff_t>(outline.size() / 2);
  for (const std::ptrdiff_t sense : {1, -1}) {
    for (auto s = static_cast<std::ptrdiff_t>(std::round(2.0 * fit.reach())); s <= half; ++s) {
      const Bound bound = bound_by(outline, fit, outline.at(fit.at, sense * s));
      if (bound.curvature >= least) {
        found.push_back(bound);
      }
    }
  }
  const std::size_t stride = found.size() / (Greatest::kMost - 1) + 1;
  std::vector<Bound> some;
  for (std::size_t k = 0; k < found.size(); k += stride) {
    some.push_back(found[k]);
  }
  return some;
}

/// Adds by_radius * d(curvature of the disc)/d(points) where that factor follows from one over the
/// curvature: the nose's own curvature and any farther point bounds the disc with the chance that
/// edge errors give it.
void add_bounds(EdgeGradient& gradient, const FramedOutline& outline, const NoseDisc& disc,
                double by_radius) {
  const CircleFit& fit = disc.fit;
  const std::size_t ahead = outline.at(fit.at, fit.steps);
  const std::size_t behind = outline.at(fit.at, -fit.steps);
  const auto between = [&](std::size_t i, std::size_t j) {
    return gradient.covariance(outline.steps_apart(i, j));
  };
  // The fit answers to heights over the nose, each by its own weight.
  double of_fit = 0.0;
  double with_nose = 0.0;
  double with_chord = 0.0;
  std::vector<double> weights;
  for (std::ptrdiff_t k = -fit.steps - 1; k <= fit.steps + 1; ++k) {
    const std::size_t i = outline.at(fit.at, k);
    const double squared = (outline.points[i] - outline.points[fit.at]).squaredNorm();
    weights.push_back(fit.weight(k, squared) * fit.normal.dot(outline.normals[i]));
    with_nose += weights.back() * between(i, fit.at);
    with_chord += weights.back() * (between(i, ahead) * outline.normals[ahead].dot(fit.normal) -
                                    between(i, behind) * outline.normals[behind].dot(fit.normal));
  }
  of_fit = gradient.error().covariances(weights, 1)[0];
  const double of_nose = gradient.covariance(0);
  const double chord_x = outline.normals[ahead].dot(fit.normal);
  const double chord_y = outline.normals[behind].dot(fit.normal);
  const double of_chord = of_nose * (chord_x * chord_x + chord_y * chord_y) -
                          2.0 * between(ahead, behind) * chord_x * chord_y;
  const double nose_chord = between(fit.at, ahead) * chord_x - between(fit.at, behind) * chord_y;
  // A far bound leaves the nose by about the same answer as it takes from its own point.
  const double nearest = 2.0 * static_cast<double>(fit.steps) * outline.step();
  const double of_far = 8.0 * of_nose / (nearest * nearest * nearest * nearest);
  const double least = disc.bounded() - Greatest::kOutOfReach * std::sqrt(of_fit + of_far);
  const std::vector<Bound> far = far_bounds(outline, fit, least);
  Greatest greatest;
  for (const Bound& bound : far) {
    greatest.add(bound.curvature);
  }
  // Last: the farther points are much alike, and alike ones are to be compared first.
  const std::size_t own_bend = greatest.size();
  greatest.add_apart(fit.curvature);
  greatest.set_covariance(own_bend, own_bend, of_fit);
  const auto by_nose = [&](const Bound& bound) {
    return -bound.by_point.dot(outline.normals[fit.at]);
  };
  const auto by_chord = [&](const Bound& bound) { return bound.by_chord.dot(fit.normal); };
  for (std::size_t a = 0; a < far.size(); ++a) {
    greatest.set_covariance(own_bend, a,
                            by_nose(far[a]) * with_nose + by_chord(far[a]) * with_chord);
    for (std::size_t b = a; b < far.size(); ++b) {
      const double own = far[a].by_point.dot(outline.normals[far[a].point]) *
                         far[b].by_point.dot(outline.normals[far[b].point]) *
                         between(far[a].point, far[b].point);
      const double nose = by_nose(far[a]) * by_nose(far[b]) * of_nose;
      const double chord = by_chord(far[a]) * by_chord(far[b]) * of_chord;
      const double both =
          (by_nose(far[a]) * by_chord(far[b]) + by_chord(far[a]) * by_nose(far[b])) * nose_chord;
      greatest.set_covariance(a, b, own + nose + chord + both);
    }
  }
  greatest.solve();
  // The radius is one over the curvature, and errors make the greatest of several greater.
  const double own = std::max(0.0, fit.curvature);
  const double mean =
      kOwnShare * own + (1.0 - kOwnShare) * std::max(greatest.mean(), disc.bounded());
  const double share = disc.curvature() / mean;
  const double by_curvature = by_radius * share * share;
  const double factor = (1.0 - kOwnShare) * by_curvature;
  const double directly = own > 0.0 ? kOwnShare * by_curvature : 0.0;
  add_circle_fit(gradient, outline, fit, directly + factor * greatest.chance(own_bend));
  for (std::size_t a = 0; a < far.size(); ++a) {
    const double chance = factor * greatest.chance(a);
    gradient.add(far[a].point, chance * far[a].by_point);
    gradient.add(fit.at, -chance * far[a].by_point);
    gradient.add(ahead, chance * far[a].by_chord);
    gradient.add(behind, -chance * far[a].by_chord);
  }
  gradient.add_scatter(factor * factor * greatest.scatter());
}

/// A blunt nose is found where the errors stand out, and there they differ less than anywhere: what
/// the value answers to the nose's own height counts for that much less.
void take_chosen_nose(EdgeGradient& gradient, const FramedOutline& outline) {
  if (gradient.pose() == nullptr || !gradient.pose()->response().on_blunt_nose) {
    return;
  }
  double with_nose = gradient.normal()[outline.nose] * gradient.covariance(0);
  std::size_t on = outline.nose;
  std::size_t back = on;
  for (std::size_t k = 1; k < gradient.covariance_reach(); ++k) {
    on = outline.next(on);
    back = outline.before(back);
    with_nose += (gradient.normal()[on] + gradient.normal()[back]) * gradient.covariance(k);
  }
  const double less = 1.0 - gradient.pose()->response().on_blunt_nose->at_nose;
  gradient.add_scatter(-less * with_nose * with_nose / gradient.covariance(0));
}

}  // namespace

double measure_nose_roundness(const FramedOutline& outline, const InscribedDisc& whole,
                              EdgeGradient* gradient) {
  const double reach = kNoseFitReach * outline.length;
  const NoseDisc disc = disc_at(outline, outline.nose, outline.nose_share, reach);
  const double curvature = disc.curvature();
  if (!(curvature > 0.0)) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  const double value = 1.0 / (curvature * whole.radius);
  if (gradient != nullptr) {
    const double by_curvature = -value / curvature;
    add_bounds(*gradient, outline, disc, by_curvature);
    // A nose point that slides meets another bend.
    gradient->add_nose_slide(by_curvature * slope_with_nose(outline, disc, reach));
    add_inscribed_radius(gradient, outline, whole, -value / whole.radius);
    take_chosen_nose(*gradient, outline);
  }
  return value;
}

}  // namespace maturity
