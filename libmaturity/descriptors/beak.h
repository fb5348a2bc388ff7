#pragma once

#include <cstddef>
#include <optional>
#include <vector>

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

/// Whether a point lies where beak and bend are sought: the distal 45 % on the ventral side.
bool in_beak_stretch(const FramedOutline& outline, std::size_t i);

/// Steps between the places that are looked at.
inline constexpr std::size_t kBeakStride = 2;

/// Sought within the distal 45 % on the ventral side, 0.03 L off the axis (nearer lies the nose
/// itself). Empty when no point lies there.
std::optional<Beak> find_beak(const FramedOutline& outline);

/// Adds factor * d(mean place, in points)/d(points).
void add_beak_place(EdgeGradient& gradient, const FramedOutline& outline, const Beak& beak,
                    double factor);

/// d(mean place, in points) per unit of outward movement of each point.
std::vector<double> beak_place_answer(const FramedOutline& outline, const Beak& beak);

/// Standard error of the mean place, in points.
double beak_place_error(const EdgeGradient& gradient, const Beak& beak);

}  // namespace maturity
