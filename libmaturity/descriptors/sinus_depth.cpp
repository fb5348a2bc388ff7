#include "libmaturity/descriptors/sinus_depth.h"

#include <cmath>
#include <limits>

namespace maturity {

namespace {
/// Arc from the beak to the sinus, in L.
constexpr double kNearest = 0.13;
constexpr double kFarthest = 0.20;

/// Deepest place behind a beak at that point.
EdgeRise deepest_behind(const FramedOutline& outline, const EdgeRises& rises, std::size_t beak) {
  const LeftOut left_out{beak, kBeakLeftOut};
  const double per_length = outline.length / outline.step();
  const auto farthest = std::lround(kFarthest * per_length);
  EdgeRise deepest;
  deepest.height = std::numeric_limits<double>::infinity();
  for (auto steps = std::lround(kNearest * per_length); steps <= farthest; ++steps) {
    const EdgeRise rise = rises.at(outline.at(beak, steps), left_out);
    if (rise.height < deepest.height) {
      deepest = rise;
    }
  }
  return deepest;
}

}  // namespace

double measure_sinus_depth(const FramedOutline& outline, const std::optional<Beak>& beak,
                           EdgeGradient* gradient) {
  if (!beak) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  const EdgeRises rises(outline, kSinusWindow);
  // The beak's mean place lies between two points.
  const double whole = std::floor(beak->mean_place);
  const double share = beak->mean_place - whole;
  const std::size_t point = outline.at(beak->places.front().at, static_cast<std::ptrdiff_t>(whole));
  const EdgeRise before = deepest_behind(outline, rises, point);
  const EdgeRise after = deepest_behind(outline, rises, outline.next(point));
  if (gradient != nullptr) {
    add_rise(*gradient, outline, before, share - 1.0);
    add_rise(*gradient, outline, after, -share);
    add_beak_place(*gradient, outline, *beak, before.height - after.height);
  }
  return (share - 1.0) * before.height - share * after.height;
}

}  // namespace maturity
