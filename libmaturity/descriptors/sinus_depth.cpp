#include "libmaturity/descriptors/sinus_depth.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>
#include <vector>

namespace maturity {

namespace {
/// Arc from the beak to the sinus, in L.
constexpr double kNearest = 0.13;
constexpr double kFarthest = 0.20;

/// The places behind a beak at that point where a sinus may be, both ends of the stretch included.
std::vector<RisePlace> places_behind(const FramedOutline& outline, const EdgeRises& rises,
                                     std::size_t beak) {
  const LeftOut left_out{beak, kBeakLeftOut};
  const double per_length = outline.length / outline.step();
  const double nearest = kNearest * per_length;
  const double farthest = kFarthest * per_length;
  std::vector<EdgeRise> points;
  const double first = std::floor(nearest);
  const auto beyond = static_cast<std::ptrdiff_t>(std::ceil(farthest + 1.0));
  for (auto steps = static_cast<std::ptrdiff_t>(first); steps < beyond; ++steps) {
    points.push_back(rises.at(outline.at(beak, steps), left_out));
  }
  std::vector<RisePlace> places;
  const std::size_t last = points.size() - 1;
  places.push_back({points[0], points[1], nearest - first});
  for (std::size_t k = 1; k < last; ++k) {
    places.push_back({points[k], points[k], 0.0});
  }
  const double before_last = first + static_cast<double>(last - 1);
  places.push_back({points[last - 1], points[last], farthest - before_last});
  return places;
}

double lowest(const std::vector<RisePlace>& places) {
  double height = std::numeric_limits<double>::infinity();
  for (const RisePlace& place : places) {
    height = std::min(height, place.height());
  }
  return height;
}

/// How the depth changes per point by which the beak's place moves, over what edge errors move it.
double slope_with_beak(const FramedOutline& outline, const EdgeRises& rises, const Beak& beak,
                       double reach) {
  const auto last = static_cast<double>(kBeakStride * (beak.places.size() - 1));
  const auto depth = [&](double place) {
    const double whole = std::round(std::clamp(place, 0.0, last));
    const auto steps = static_cast<std::ptrdiff_t>(whole);
    return std::pair(
        whole, -lowest(places_behind(outline, rises, outline.at(beak.places.front().at, steps))));
  };
  const auto [from, before] = depth(beak.mean_place - reach);
  const auto [to, after] = depth(beak.mean_place + reach);
  return to > from ? (after - before) / (to - from) : 0.0;
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
  const std::vector<RisePlace> before = places_behind(outline, rises, point);
  const std::vector<RisePlace> after = places_behind(outline, rises, outline.next(point));
  const double depth_before = -lowest(before);
  const double depth_after = -lowest(after);
  if (gradient != nullptr) {
    // One point apart the two say the same of the scatter.
    add_highest(*gradient, outline, share < 0.5 ? before : after, -1.0, -1.0);
    const double reach = beak_place_error(*gradient, *beak);
    const double slope =
        reach < 1.0 ? depth_after - depth_before : slope_with_beak(outline, rises, *beak, reach);
    add_beak_place(*gradient, outline, *beak, slope);
  }
  return (1.0 - share) * depth_before + share * depth_after;
}

}  // namespace maturity
