#include "libmaturity/outline/sharp_corners.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "libmaturity/outline/stem_stub.h"

namespace maturity {

namespace {

constexpr double kArm = 4.0 / 300.0;  // of the perimeter
constexpr double kMostOut = 50.0 * std::numbers::pi / 180.0;
constexpr double kMostIn = 32.0 * std::numbers::pi / 180.0;
// Shares of the perimeter: corners nearer than that belong to one dent, and the longest dent.
constexpr double kSameDent = 0.06;
constexpr double kLongestDent = 0.09;

// Corners along the way round, each with whether it turns inwards.
struct Corner {
  std::size_t at = 0;
  bool inwards = false;
};

std::size_t share_of(double share, std::size_t n) {
  return std::max<std::size_t>(
      2, static_cast<std::size_t>(std::lround(share * static_cast<double>(n))));
}

std::vector<Corner> sharp_corners(const Polygon& outline) {
  const std::size_t n = outline.size();
  const std::size_t arm = share_of(kArm, n);
  const double sign = signed_area(outline) > 0.0 ? 1.0 : -1.0;
  std::vector<Corner> corners;
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = outline[i] - outline[(i + n - arm) % n];
    const Point b = outline[(i + arm) % n] - outline[i];
    const double turn = sign * std::atan2(a.x() * b.y() - a.y() * b.x(), a.dot(b));
    if (turn > kMostOut || turn < -kMostIn) {
      corners.push_back({i, turn < 0.0});
    }
  }
  return corners;
}

// Neighbouring corners as one stretch; the list starts after the widest gap of the way round.
struct Stretch {
  std::size_t first = 0;
  std::size_t length = 0;
  bool inwards = false;
};

std::vector<Stretch> stretches_of(std::vector<Corner> corners, std::size_t n) {
  std::size_t start = 0;
  std::size_t widest = 0;
  for (std::size_t k = 0; k < corners.size(); ++k) {
    const std::size_t before = corners[(k + corners.size() - 1) % corners.size()].at;
    const std::size_t gap = (corners[k].at + n - before) % n;
    if (gap > widest) {
      widest = gap;
      start = k;
    }
  }
  std::rotate(corners.begin(), corners.begin() + static_cast<std::ptrdiff_t>(start), corners.end());
  std::vector<Stretch> stretches;
  for (const Corner& c : corners) {
    if (!stretches.empty()) {
      Stretch& last = stretches.back();
      const std::size_t length = (c.at + n - last.first) % n + 1;
      if (length - last.length <= share_of(kSameDent, n)) {
        last.length = length;
        last.inwards = last.inwards || c.inwards;
        continue;
      }
    }
    stretches.push_back({c.at, 1, c.inwards});
  }
  return stretches;
}

}  // namespace

bool mend_sharp_corners(Polygon& outline) {
  const std::size_t n = outline.size();
  const std::size_t arm = share_of(kArm, n);
  for (const Stretch& stretch : stretches_of(sharp_corners(outline), n)) {
    if (stretch.inwards && stretch.length <= share_of(kLongestDent, n)) {
      bridge(outline, {stretch.first, stretch.length, 0.0, 0.0}, arm);
    }
  }
  return sharp_corners(outline).empty();
}

}  // namespace maturity
