#include <algorithm>

#include "libmaturity/core/ring_index.h"
#include "libmaturity/outline/stem_stub.h"
#include "libmaturity/outline/tone_ring.h"

namespace maturity {

std::vector<Stub> find_stem_feet(const Photo& photo, const Polygon& outline, const Polygon& outward,
                                 double unit_px) {
  constexpr double kInside = 0.15;     // units
  constexpr double kLeastOut = 0.07;   // units
  constexpr double kDarker = 0.6;      // log light
  constexpr double kShortest = 0.012;  // share of the outline
  constexpr double kSureness = 1.0;    // as a stem that is followed for so many units
  const std::size_t n = outline.size();
  ToneRing ring(photo, outline, outward, -kInside * unit_px);
  std::vector<char> dark(n);
  for (std::size_t i = 0; i < n; ++i) {
    dark[i] = ring.darker(i, 0.5 * kDarker) ? 1 : 0;
  }
  std::vector<Stub> feet;
  for (const Run& run : runs_of(dark)) {
    const double share = static_cast<double>(run.length) / static_cast<double>(n);
    if (share < kShortest || share > kWidestStem) {
      continue;
    }
    const Stub foot{run.first, run.length, kSureness * unit_px, 1.0};
    Polygon bridged = outline;
    bridge(bridged, foot);
    bool dark_enough = false;
    double out = 0.0;
    std::size_t i = run.first;
    for (std::size_t k = 0; k < run.length; ++k, i = ring_next(i, n)) {
      dark_enough = dark_enough || ring.darker(i, kDarker);
      out = std::max(out, outward[i].dot(outline[i] - bridged[i]));
    }
    if (dark_enough && out > kLeastOut * unit_px) {
      feet.push_back(foot);
    }
  }
  return feet;
}

}  // namespace maturity
