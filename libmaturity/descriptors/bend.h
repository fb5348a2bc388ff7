#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Curvature of an outline smoothed over a stretch of arc: the angle between the chord that comes
/// to a point and the chord that leaves it, over their mean length. On a curve this is the
/// curvature averaged with triangular weights that reach `window` to both sides.
/// The window is kept in units of length, not of points: between two whole numbers of points the
/// two curvatures are mixed, so that nothing jumps when the perimeter changes a little.
class Bend {
 public:
  /// `window`: in the outline's unit; at least one step of the outline is used.
  Bend(const FramedOutline& outline, double window);

  /// Curvature at a point, per unit of length; positive where convex.
  double at(std::size_t i) const {
    return mix_ > 0.0 ? (1.0 - mix_) * chord_bend(i, steps_) + mix_ * chord_bend(i, steps_ + 1)
                      : chord_bend(i, steps_);
  }

  /// Reach of the weights to both sides, in the outline's unit.
  double window() const { return (static_cast<double>(steps_) + mix_) * step(); }
  double step() const { return outline_.step(); }

  /// Adds factor * d(curvature at i)/d(points).
  void add(EdgeGradient& gradient, std::size_t i, double factor) const;

 private:
  double chord_bend(std::size_t i, std::ptrdiff_t steps) const;
  void add_chord_bend(EdgeGradient& gradient, std::size_t i, std::ptrdiff_t steps,
                      double factor) const;

  const FramedOutline& outline_;
  std::ptrdiff_t steps_ = 1;
  double mix_ = 0.0;
};

/// The curvature at every point, smoothed over 0.08 L of arc: the beak's curvature and
/// the solidity's errors are read from the same line.
struct BendLine {
  explicit BendLine(const FramedOutline& outline);

  /// Covariances of the curvature's errors at points 0, 1, ... steps apart: curvature is a second
  /// difference of the edge over the window.
  std::vector<double> covariances(const EdgeNoise& noise) const;

  Bend bend;
  std::vector<double> curvature;
};

}  // namespace maturity
