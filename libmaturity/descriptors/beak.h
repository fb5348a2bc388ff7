#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Radius of the opening disc, over the length: a larger one starts to measure the nose.
inline constexpr double kBeakDisc = 0.12;

/// The stretch of outline that sticks out of the opening of the outline by a disc (the union of
/// all discs of that radius inside it), on the distal ventral side.
struct Beak {
  /// How far it sticks out, in the outline's unit; 0 when it does not.
  double height = 0.0;
  /// The point farthest out, and the two points where the disc under the beak touches the flanks.
  std::size_t apex = 0;
  std::size_t from = 0;
  std::size_t to = 0;
  /// Centre of that disc.
  Point centre = Point::Zero();
  double radius = 0.0;
};

/// Curvature of the largest disc inside that touches the outline at each point, worked out when
/// first asked for: discs of several radii are tried on the same points.
class TouchingCurvatures {
 public:
  explicit TouchingCurvatures(const FramedOutline& outline);
  double at(std::size_t i);

 private:
  const FramedOutline& outline_;
  std::ptrdiff_t gap_ = 1;
  std::ptrdiff_t reach_ = 1;
  /// Below 0: not asked for yet.
  std::vector<double> known_;
};

/// Finds the beak within the distal 45 % on the ventral side. Instead of opening an image, each
/// point asks for the largest disc inside that touches the outline there: points where it is
/// smaller than the wanted disc are outside the opening. `share`: radius of the disc over the
/// length, at most 0.2.
Beak find_beak(const FramedOutline& outline, TouchingCurvatures& touching,
               double share = kBeakDisc);

/// `beak_prominence`: greatest distance of the outline outside its opening by a disc of radius
/// 0.12 L, within the distal 45 % on the ventral side, over L. No unit; 0 or more; 0 on many
/// mature fruit and on an ellipse while b^2/a >= 0.12 L.
double measure_beak_prominence(const FramedOutline& outline, const Beak& beak,
                               EdgeGradient* gradient);

/// `beak_curvature`: greatest curvature of the outline, smoothed over 0.03 L of arc, in the same
/// stretch, times L. No unit; never stuck at 0. On an ellipse 2 a^2/b^2 at the tip before
/// smoothing. NaN when no point lies in that stretch.
double measure_beak_curvature(const FramedOutline& outline, EdgeGradient* gradient);

}  // namespace maturity
