#pragma once

#include <array>
#include <cstddef>

#include "libmaturity/pose/bend_profile.h"
#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/stem_belief.h"

namespace maturity {

/// Kinds of evidence on which end is the stem end and which side the beak side. Those that speak
/// of ends only come first; the rest change sign with the side.
enum class PoseSign : std::size_t {
  /// Third moment along the axis: more of the area lies towards the stem end.
  skew,
  /// Third moment x y^2: the broad part lies towards the nose end.
  broad,
  /// Deeper hollow in the middle of the stem end than of the nose end.
  hollow,
  /// Bends round the nose against those round the stem: kEndBends of them.
  end_bends,
  /// Deepest dent of the distal part on that side against the other side.
  sinus = end_bends + kEndBends,
  /// Third moment x^2 y: which side is fuller at the two ends.
  ends_side,
  /// Third moment y^3: which side is fuller in the middle.
  middle_side,
  /// Area of the distal part on that side against the other side.
  distal_area,
  /// The same of the proximal part.
  proximal_area,
  /// Bends on the way from the nose, side against side: kSideBends of them.
  side_bends,
  /// Falls of the bend from a beak to the hollow behind it, side against side.
  swings = side_bends + kSideBends,
  count = swings + kSwings.size()
};

inline constexpr std::size_t kPoseSigns = static_cast<std::size_t>(PoseSign::count);
inline constexpr std::size_t kFirstSideSign = static_cast<std::size_t>(PoseSign::sinus);

using PoseSigns = std::array<double, kPoseSigns>;

/// Signs for the pose with this belief about the stem and the beak on the side +1 (sign of the z
/// component of axis x ventral). No unit.
PoseSigns pose_signs(const OutlineTraits& traits, const StemBelief& belief);

/// The signs for the beak on the other side: those that speak of sides change sign.
PoseSigns other_side(const PoseSigns& signs);

/// Log odds of a pose, up to a constant shared by the four poses of an outline.
double pose_log_odds(const PoseSigns& signs);

}  // namespace maturity
