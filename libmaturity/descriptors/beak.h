#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/edge_gradient.h"
#include "libmaturity/descriptors/edge_rise.h"

namespace maturity {

/// A beak with its flanks: it stands on 0.08 L of arc to both sides, the edge from there to 0.24 L
/// is what it stands out from.
inline constexpr RiseWindow kBeakWindow{0.04, 0.08, 0.24};

/// Where the edge stands out most above the edge beside it.
struct Beak {
  /// Height of the highest place.
  double height = 0.0;
  /// Ends of the stretch where it is sought, if the highest place lies next to one.
  std::vector<RisePlace> ends;
  /// The places that were looked at, and how likely each is the beak's under edge errors of the
  /// size that photos have: the mean place does not jump as the highest one does.
  std::vector<EdgeRise> places;
  std::vector<double> chance;
  /// Points from the first place looked at to the mean place.
  double mean_place = 0.0;
};

/// Steps between the places that are looked at.
inline constexpr std::size_t kBeakStride = 2;

/// Sought within the distal 45 % on the ventral side, 0.03 L off the axis (nearer lies the nose
/// itself). Empty when no point lies there.
std::optional<Beak> find_beak(const FramedOutline& outline);

/// Adds factor * d(mean place, in points)/d(points).
void add_beak_place(EdgeGradient& gradient, const FramedOutline& outline, const Beak& beak,
                    double factor);

/// Standard error of the mean place, in points.
double beak_place_error(const EdgeGradient& gradient, const Beak& beak);

/// `beak_prominence`: mean height of the edge within 0.04 L of arc of the beak (find_beak), above
/// the circle fitted to the edge from 0.08 to 0.24 L of arc on both sides of it, over L. No unit;
/// about -0.03 to 0.06; 0 on a circle; below 0 where the edge between nose and cheek is flatter
/// than around it. It orders broad and fading beaks too; the depth outside an opening by a disc,
/// used before, was 0 on most fruit. NaN where no beak can be sought.
double measure_beak_prominence(const FramedOutline& outline, const std::optional<Beak>& beak,
                               EdgeGradient* gradient);

/// `beak_curvature`: greatest curvature of the outline, averaged with triangular weights that reach
/// 0.08 L of arc to both sides, within the distal 45 % on the ventral side, times L. No unit; never
/// stuck at 0. On an ellipse 2 a^2/b^2 at the tip before smoothing. NaN when no point lies there.
double measure_beak_curvature(const FramedOutline& outline, const BendLine& line,
                              EdgeGradient* gradient);

}  // namespace maturity
