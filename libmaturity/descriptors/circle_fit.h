#pragma once

#include <array>
#include <cstddef>
#include <cstdlib>

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Circle fitted by least squares to the points around one point: height = c0 + c1 t - curvature/2
/// * (squared distance to the point), t along the tangent, height along the outward normal; exact
/// on a circle. The points lie evenly to both sides, so that c1 drops out of the curvature.
struct CircleFit {
  /// One over the radius; positive where convex, negative in a hollow.
  double curvature = 0.0;
  std::size_t at = 0;
  /// Points to each side, and how much of the fit over one point more is mixed in, so that nothing
  /// jumps when the length changes a little.
  std::ptrdiff_t steps = 0;
  double mix = 0.0;
  /// Outward normal of the chord over the fitted stretch, and that chord.
  Point normal = Point::UnitX();
  Point chord = Point::UnitY();
  /// d(curvature) per unit of height of a point: scale * (squared distance - mean_square); of the
  /// fit over `steps` points and over one more.
  struct Weights {
    double scale = 0.0;
    double mean_square = 0.0;
  };
  std::array<Weights, 2> weights;

  /// d(curvature) per unit of height of the point `k` steps away at that squared distance.
  double weight(std::ptrdiff_t k, double squared) const {
    const double more = mix * weights[1].scale * (squared - weights[1].mean_square);
    const bool within = std::abs(k) <= steps;
    return within ? (1.0 - mix) * weights[0].scale * (squared - weights[0].mean_square) + more
                  : more;
  }
  /// Reach of the fit in points, between whole ones.
  double reach() const { return static_cast<double>(steps) + mix; }
};

/// `reach`: arc to each side, in the outline's unit.
CircleFit fit_circle(const FramedOutline& outline, std::size_t at, double reach);

/// Adds factor * d(curvature)/d(points).
void add_circle_fit(EdgeGradient& gradient, const FramedOutline& outline, const CircleFit& fit,
                    double factor);

}  // namespace maturity
