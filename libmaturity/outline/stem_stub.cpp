#include "libmaturity/outline/stem_stub.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "libmaturity/outline/tone_ring.h"

namespace maturity {

namespace {

constexpr std::size_t kRings = 8;
constexpr double kFirstRing = 0.7;  // in units (about 3 mm), outside the outline
constexpr double kRingStep = 0.5;
constexpr double kLeastChange = 0.45;  // of log light or colour difference, against the median
constexpr double kYellower = 0.12;     // of colour difference: a stem against a board

// What lies under the run and to both sides of it.
struct RunTones {
  Tone run;
  Tone left;
  Tone right;
};

RunTones tones_of(ToneRing& ring, std::size_t first, std::size_t length) {
  const std::size_t n = ring.size();
  constexpr std::size_t kGap = 2;
  constexpr std::size_t kSide = 5;
  const auto mean = [&](std::size_t from, std::size_t count) {
    Tone sum{};
    for (std::size_t k = 0; k < count; ++k) {
      for (std::size_t c = 0; c < 3; ++c) {
        sum.at(c) += ring.tone((from + k) % n).at(c) / static_cast<double>(count);
      }
    }
    return sum;
  };
  return {mean(first, length), mean(first + n - kGap - kSide, kSide),
          mean(first + length + kGap, kSide)};
}

double apart(const Tone& a, const Tone& b) {
  return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

// The same surroundings on both sides of the run, and other than the run: a stem on a board. Where
// a shadow begins or ends the sides differ.
bool stands_alone(const RunTones& t) {
  return apart(t.left, t.right) < 0.5 * std::min(apart(t.run, t.left), apart(t.run, t.right));
}

// Yellower than what is on either side, as a stem is where a shadow begins beside it.
bool yellower_than_both(const RunTones& t) {
  return t.run[1] < std::min(t.left[1], t.right[1]) - kYellower;
}

double likeness_of(const RunTones& t, double share_of_outline) {
  constexpr double kThin = 0.011;  // of the outline: 3.5 mm on a fruit
  constexpr double kSeldom = 0.25;
  const double blue = t.run[1] - 0.5 * (t.left[1] + t.right[1]);
  const double light = t.run[0] - 0.5 * (t.left[0] + t.right[0]);
  constexpr double kLitGap = 0.5;  // log light: sun between two shadows is brighter than any stem
  if (light > kLitGap) {
    return kSeldom;
  }
  if (blue < -kYellower) {
    return 1.0;
  }
  return light > 0.0 || share_of_outline < kThin ? kSeldom : 1.0;
}

double ring_distance(std::size_t ring, double unit_px) {
  return (kFirstRing + kRingStep * static_cast<double>(ring)) * unit_px;
}

// Point with the strongest departure among `count` points from `first`; none departs enough: empty.
std::optional<std::size_t> clearest(ToneRing& ring, std::size_t first, std::size_t count) {
  std::optional<std::size_t> best;
  double most = kLeastChange;
  for (std::size_t k = 0; k < count; ++k) {
    const std::size_t j = (first + k) % ring.size();
    if (const double departure = ring.departure(j, most); departure > 0.0) {
      most = departure;
      best = j;
    }
  }
  return best;
}

// Where a stub leaves the outline and which way it goes.
struct Ray {
  std::size_t stub;
  Point base;
  Point direction;
};

// What leaves the fruit on both sides along one line passes below it: the seam of a plank, a straw.
void doubt_lines_below(const std::vector<Ray>& rays, std::vector<Stub>& stubs) {
  constexpr double kInLine = 0.97;  // cosine, 14 degrees
  constexpr double kHardly = 0.1;
  for (std::size_t a = 0; a < rays.size(); ++a) {
    for (std::size_t b = a + 1; b < rays.size(); ++b) {
      const Point line = (rays[a].base - rays[b].base).normalized();
      if (rays[a].direction.normalized().dot(line) > kInLine &&
          rays[b].direction.normalized().dot(line) < -kInLine) {
        stubs[rays[a].stub].likeness *= kHardly;
        stubs[rays[b].stub].likeness *= kHardly;
      }
    }
  }
}

}  // namespace

std::vector<Stub> find_stubs(const Photo& photo, const Polygon& outline, const Polygon& outward,
                             double unit_px) {
  const std::size_t n = outline.size();
  std::vector<ToneRing> rings;
  rings.reserve(kRings);
  for (std::size_t r = 0; r < kRings; ++r) {
    rings.emplace_back(photo, outline, outward, ring_distance(r, unit_px));
  }
  std::vector<char> stands_out(n);
  for (std::size_t i = 0; i < n; ++i) {
    stands_out[i] = rings[0].departure(i, kLeastChange) > 0.0 ? 1 : 0;
  }
  const auto widest = static_cast<std::size_t>(kWidestStem * static_cast<double>(n));
  std::vector<Stub> stubs;
  std::vector<Ray> through;  // of each stub that can be followed to the last ring
  for (const auto& [i, length] : runs_of(stands_out)) {
    const RunTones tones = tones_of(rings[0], i, length);
    if (length >= 2 && length <= widest && (stands_alone(tones) || yellower_than_both(tones))) {
      std::size_t ring = 1;
      Ray ray{stubs.size(), outline[(i + length / 2) % n], Point::Zero()};
      while (ring < kRings) {
        // It may lean: look a little to both sides as it goes out.
        const std::size_t lean = length + ring * 2;
        const auto at = clearest(rings[ring], i + n - lean % n, length + 2 * lean);
        if (!at) {
          break;
        }
        ray.direction = outline[*at] + ring_distance(ring, unit_px) * outward[*at] - ray.base;
        ++ring;
      }
      if (ring == kRings) {
        through.push_back(ray);
      }
      stubs.push_back({i, length, ring_distance(ring - 1, unit_px),
                       likeness_of(tones, static_cast<double>(length) / static_cast<double>(n))});
    }
  }
  doubt_lines_below(through, stubs);
  return stubs;
}

}  // namespace maturity
