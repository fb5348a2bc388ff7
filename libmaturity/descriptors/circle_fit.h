#pragma once

#include <cstddef>

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Circle fitted by least squares to the points around one point: height = c0 + c1 t - curvature/2
/// * (squared distance to the point), t along the tangent, height along the outward normal; exact
/// on a circle. The points lie evenly to both sides, so that c1 drops out of the curvature.
struct CircleFit {
  /// One over the radius; positive where convex, negative in a hollow.
  double curvature = 0.0;
  std::size_t at = 0;
  /// Points to each side.
  std::ptrdiff_t steps = 0;
  /// Outward normal of the chord over the fitted stretch, and that chord.
  Point normal = Point::UnitX();
  Point chord = Point::UnitY();
  /// d(curvature) per unit of height of a point: scale * (squared distance - mean_square).
  double scale = 0.0;
  double mean_square = 0.0;
};

/// `reach`: arc to each side, in the outline's unit.
CircleFit fit_circle(const FramedOutline& outline, std::size_t at, double reach);

/// The same at a place between the points (share from -1/2 to 1/2 towards a neighbour): curvature
/// interpolated, the rest as at the point.
CircleFit fit_circle_between(const FramedOutline& outline, std::size_t at, double share,
                             double reach);

/// Adds factor * d(curvature)/d(points).
void add_circle_fit(EdgeGradient& gradient, const FramedOutline& outline, const CircleFit& fit,
                    double factor);

}  // namespace maturity
