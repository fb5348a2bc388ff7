#pragma once

#include <array>
#include <cstddef>

#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/stem_belief.h"

namespace maturity {

/// Stretches of edge to both sides of the nose over which bends are averaged, in lengths of arc
/// from the nose: from below a beak to the middle of the flank.
inline constexpr std::array<double, 11> kSideStretches = {0.04, 0.10, 0.16, 0.22, 0.28, 0.34,
                                                          0.40, 0.50, 0.60, 0.70, 0.80};
/// Stretches round the nose and round the stem, both sides taken together.
inline constexpr std::array<double, 6> kEndStretches = {0.00, 0.05, 0.12, 0.20, 0.30, 0.40};
/// How far beyond a beak its sinus is sought, in lengths of arc.
inline constexpr std::array<double, 3> kSwings = {0.12, 0.18, 0.24};

inline constexpr std::size_t kSideBends = kSideStretches.size() - 1;
inline constexpr std::size_t kEndBends = kEndStretches.size() - 1;

/// How the edge bends on its way from the nose, compared between the two sides and the two ends.
/// Bends are times the length and saturate at about +-6, so that one rough place decides nothing.
struct BendProfile {
  /// Mean bend of a stretch on the side +1 less that on the side -1.
  std::array<double, kSideBends> sides{};
  /// Greatest fall of the bend from a place 0.06 to 0.42 lengths from the nose to one farther on (a
  /// beak and the hollow or flat stretch behind it), side +1 less side -1.
  std::array<double, kSwings.size()> swings{};
  /// Mean bend of a stretch round the nose less that round the stem.
  std::array<double, kEndBends> ends{};
};

BendProfile bend_profile(const OutlineTraits& traits, const StemBelief& belief);

}  // namespace maturity
