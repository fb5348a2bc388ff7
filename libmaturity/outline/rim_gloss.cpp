#include "libmaturity/outline/rim_gloss.h"

#include <algorithm>
#include <cmath>

#include "libmaturity/core/convex_hull.h"
#include "libmaturity/core/ring_index.h"
#include "libmaturity/outline/edge_rays.h"
#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr double kLeastDepth = 0.0015;  // below the hull, of the perimeter: 0.5 mm
constexpr double kLongest = 0.2;        // of the perimeter

double log_light(const Light& c) {
  constexpr double kFloor = 0.01;
  return (c.array() + kFloor).log().mean();
}

// Stretches of the outline between neighbouring corners of its hull that go deeper than that.
std::vector<Stub> dents_of(const Polygon& outline) {
  const std::size_t n = outline.size();
  const Polygon hull = convex_hull(outline);
  const double least = kLeastDepth * perimeter(outline);
  std::vector<std::size_t> corners;
  for (std::size_t i = 0; i < n; ++i) {
    if (std::find(hull.begin(), hull.end(), outline[i]) != hull.end()) {
      corners.push_back(i);
    }
  }
  const auto at = [&](std::size_t i) -> const Point& { return outline[i < n ? i : i - n]; };
  std::vector<Stub> dents;
  for (std::size_t c = 0; c < corners.size(); ++c) {
    const std::size_t first = corners[c];
    const std::size_t next = c + 1 < corners.size() ? corners[c + 1] : corners.front() + n;
    const std::size_t span = next - first;
    const Point chord = at(next) - outline[first];
    if (span < 4 || static_cast<double>(span) > kLongest * static_cast<double>(n) ||
        !(chord.norm() > 0.0)) {
      continue;
    }
    const Point across = Point(chord.y(), -chord.x()).normalized();
    double depth = 0.0;
    for (std::size_t k = 1; k < span; ++k) {
      depth = std::max(depth, std::abs(across.dot(at(first + k) - outline[first])));
    }
    if (depth > least) {
      dents.push_back({first, span + 1, 0.0, 0.0});
    }
  }
  return dents;
}

// Mean colours of the skin inside a dent, of what lies in it and of what lies beyond.
struct DentColours {
  Light skin = Light::Zero();
  Light within = Light::Zero();
  Light beyond = Light::Zero();
};

bool is_mirror(const DentColours& c) {
  constexpr double kLighterThanSkin = 0.1;  // log light
  constexpr double kMostLighter = 0.55;     // 0.18 to 0.46 of true rims; paper itself from 0.6
  constexpr double kLeastOfMost = 0.1;      // of what is added to red, green and blue
  const Light added = c.within - c.skin;
  const double lighter = log_light(c.within) - log_light(c.skin);
  return added.minCoeff() > kLeastOfMost * added.maxCoeff() && added.minCoeff() > 0.0 &&
         lighter > kLighterThanSkin && lighter < kMostLighter &&
         log_light(c.within) > log_light(c.beyond);
}

bool is_gloss(const Photo& photo, const Polygon& outline, const Normals& normals,
              const Stub& dent) {
  constexpr double kThin = 1.5;  // px, too thin to see what colour it has
  constexpr double kAside = 3.0;
  constexpr int kFewest = 5;
  const std::size_t n = outline.size();
  Polygon bridged = outline;
  bridge(bridged, dent, kDentMargin);
  DentColours sums;
  int count = 0;
  std::size_t i = ring_before(dent.first, kDentMargin, n);
  for (std::size_t k = 0; k < dent.length + 2 * kDentMargin; ++k, i = ring_next(i, n)) {
    if (normals.outward[i].dot(bridged[i] - outline[i]) < kThin) {
      continue;
    }
    sums.skin += sample_linear_rgb(photo, outline[i] - kAside * normals.outward[i]);
    sums.within += sample_linear_rgb(photo, 0.5 * (outline[i] + bridged[i]));
    sums.beyond += sample_linear_rgb(photo, bridged[i] + kAside * normals.outward[i]);
    ++count;
  }
  if (count < kFewest) {
    return false;
  }
  return is_mirror({sums.skin / count, sums.within / count, sums.beyond / count});
}

}  // namespace

std::vector<Stub> find_rim_gloss(const Photo& photo, const Polygon& outline) {
  std::vector<Stub> gloss = dents_of(outline);
  if (gloss.empty()) {
    return gloss;
  }
  const Normals normals = normals_of(outline);
  std::erase_if(gloss, [&](const Stub& dent) { return !is_gloss(photo, outline, normals, dent); });
  return gloss;
}

}  // namespace maturity
