#pragma once

#include <array>
#include <cstddef>

#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/stem_belief.h"

namespace maturity {

/// Kinds of evidence on which end is the stem end and which side the beak side. Each is written so
/// that more of it speaks for the pose under which it was taken.
enum class PoseSign : std::size_t {
  /// Stem end broader than nose end: widest part at 10-25 % less that at 75-90 % of the length.
  breadth,
  /// Third moment along the axis: more of the area lies towards the stem end.
  skew,
  /// Deeper hollow in the middle of the stem end than of the nose end.
  hollow,
  /// Flatter or more hollow bend at the stem point than at the nose point.
  flat_stem,
  /// Sharpest bend of the distal part sharper than that of the proximal part.
  sharp_end,
  /// Deepest dent of the distal part (sinus beside a beak) against the proximal part.
  distal_dent,
  /// Dent of the ventral distal side against the dorsal distal side.
  sinus,
  /// Sharpest bend of the ventral distal side against the dorsal one.
  beak_bend,
  /// How much the bend varies along the ventral distal side, against the dorsal one.
  uneven,
  /// Third moment x^2 y: which side is fuller at the two ends.
  ends_side,
  /// Third moment y^3: which side is fuller in the middle.
  middle_side,
  /// Third moment x y^2, and the stem's place beside the line through the centre of area.
  mixed,
  stem_beside,
  /// Area of the distal ventral quarter against the distal dorsal one, and the proximal ones.
  distal_area,
  proximal_area
};

inline constexpr std::size_t kPoseSigns = 15;

using PoseSigns = std::array<double, kPoseSigns>;

/// Signs for the pose with this belief about the stem and the beak on the side +1 (sign of the z
/// component of axis x ventral). No unit.
PoseSigns pose_signs(const OutlineTraits& traits, const StemBelief& belief,
                     const StemBelief& other_end);

/// The signs for the beak on the other side: those that speak of sides change sign.
PoseSigns other_side(const PoseSigns& signs);

/// Log odds of a pose, up to a constant shared by the four poses of an outline.
double pose_log_odds(const PoseSigns& signs);

}  // namespace maturity
