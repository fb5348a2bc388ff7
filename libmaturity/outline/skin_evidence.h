#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "libmaturity/photo/colour_field.h"

namespace maturity {

/// Rays around a candidate, and samples along each.
inline constexpr int kAngles = 180;
inline constexpr int kRows = 56;

/// Yellow, yellow with the way from sun to shade taken out, green, light.
inline constexpr std::size_t kChannels = 4;
using SkinColour = std::array<float, kChannels>;

inline SkinColour colour_of(float yellow, float green, float light) {
  return {yellow, yellow - kShadeSlope * light, green, light};
}

struct PolarSample {
  SkinColour value{};
  /// On another candidate; beyond the photo.
  bool taken = false;
  bool outside = false;
};

/// kAngles x kRows samples, ray by ray, from inside to outside.
using PolarGrid = std::vector<PolarSample>;

/// Log likelihood ratio of skin against surroundings for every sample, learned from the samples
/// within and beyond `rows` (the rim of each ray) and from `background`, colours of nobody's
/// pixels. Yellow leads; the other channels are asked only as far as those before them leave skin
/// and surroundings mixed, because blush and shade make green and light speak against true skin.
std::vector<double> skin_evidence(const PolarGrid& grid, const std::vector<int>& rows,
                                  const std::vector<SkinColour>& background);

}  // namespace maturity
