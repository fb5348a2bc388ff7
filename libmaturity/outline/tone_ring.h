#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Log light and both colour differences.
using Tone = std::array<double, 3>;

/// The colours along a line around the fruit at a distance from its outline, px, inside where below
/// 0; read where asked for, since mostly only the surroundings of a stub matter. The outline, its
/// outward normals and the photo must outlive it.
class ToneRing {
 public:
  ToneRing(const Photo& photo, const Polygon& outline, const Polygon& outward, double distance_px);

  std::size_t size() const { return outline_.size(); }
  const Tone& tone(std::size_t i);

  /// How much the colour at point i departs from the median around it, over 4 % of the outline to
  /// either side; 0 where it is not more than `least`, which the extremes around it mostly tell
  /// without a median.
  double departure(std::size_t i, double least);
  /// Whether most points around it, over the same stretch, are lighter than point i by more than
  /// `least`, log light.
  bool darker(std::size_t i, double least);

 private:
  double light(std::size_t i);

  const Photo& photo_;
  const Polygon& outline_;
  const Polygon& outward_;
  double distance_px_;
  std::size_t reach_;
  std::vector<Tone> tones_;
  std::vector<char> read_;
  std::vector<double> light_;  // log light alone, NaN until read
  std::vector<Tone> window_;
  std::vector<double> channel_;
};

/// Neighbouring points that are marked; single gaps do not end a run.
struct Run {
  std::size_t first;
  std::size_t length;
};
std::vector<Run> runs_of(const std::vector<char>& marks);

/// Share of the outline that a stem may cover.
inline constexpr double kWidestStem = 0.045;

}  // namespace maturity
