#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
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

/// Tells skin from what is around it by colour, the same candidate and surroundings looked at again
/// with other rims.
class SkinEvidence {
 public:
  /// `background`: colours of nobody's pixels. Both are kept by reference.
  SkinEvidence(const PolarGrid& grid, const std::vector<SkinColour>& background);
  SkinEvidence(PolarGrid&&, const std::vector<SkinColour>&) = delete;
  SkinEvidence(const PolarGrid&, std::vector<SkinColour>&&) = delete;

  /// Log likelihood ratio of skin against surroundings for every sample, learned from the samples
  /// within and beyond `rows` (the rim of each ray) and from the background. Yellow leads; the
  /// other channels are asked only as far as those before them leave skin and surroundings mixed,
  /// because blush and shade make green and light speak against true skin.
  std::vector<double> with_rim(const std::vector<int>& rows);

 private:
  static constexpr std::size_t kBins = 32;
  using Histogram = std::array<double, kBins>;
  struct Channel {
    std::vector<std::uint8_t> bin;  // of every sample
    Histogram background{};         // how many of its colours
  };
  struct Learned {
    Histogram ratio{};     // log likelihood ratio of each bin
    double overlap = 0.0;  // of skin and surroundings
  };
  Learned learn(const Channel& channel, const std::vector<int>& rows) const;

  // Sorted into bins when first asked for.
  const Channel& channel(std::size_t c);

  const PolarGrid& grid_;
  const std::vector<SkinColour>& background_;
  std::array<Channel, kChannels> channels_;
};

}  // namespace maturity
