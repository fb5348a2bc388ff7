#include "libmaturity/outline/stem_stub.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "libmaturity/core/ring_index.h"
#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr std::size_t kRings = 8;
constexpr double kFirstRing = 0.7;  // in units (about 3 mm), outside the outline
constexpr double kRingStep = 0.5;
constexpr double kNeighbourhood = 0.04;  // share of the outline on each side
constexpr double kWidest = 0.045;        // share of the outline that a stem may cover
constexpr double kLeastChange = 0.45;    // of log light or colour difference, against the median
constexpr double kYellower = 0.12;       // of colour difference: a stem against a board

std::array<double, 3> colour(const Photo& photo, const Point& at) {
  const auto [blue, red] = photo.sample_colour(at);
  return {std::log(sample_light(photo, at) + 0.01), (blue - 128.0) / 32.0, (red - 128.0) / 32.0};
}

double median(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

using Tone = std::array<double, 3>;

// The colours along a line around the fruit; read where asked for, since beyond the first ring only
// the surroundings of a stub matter.
class Ring {
 public:
  Ring(const Photo& photo, const Polygon& outline, const Polygon& outward, double distance_px)
      : photo_(photo),
        outline_(outline),
        outward_(outward),
        distance_px_(distance_px),
        reach_(std::max<std::size_t>(
            6, static_cast<std::size_t>(kNeighbourhood * static_cast<double>(outline.size())))),
        tones_(outline.size()),
        read_(outline.size(), 0) {}

  std::size_t size() const { return outline_.size(); }

  const Tone& tone(std::size_t i) {
    if (read_[i] == 0) {
      tones_[i] = colour(photo_, outline_[i] + distance_px_ * outward_[i]);
      read_[i] = 1;
    }
    return tones_[i];
  }

  // How much the colour at point i departs from the median around it; 0 where it is not more than
  // `least`, which the extremes around it mostly tell without a median.
  double departure(std::size_t i, double least) {
    const std::size_t n = size();
    window_.clear();
    std::size_t at = ring_before(i, reach_, n);
    for (std::size_t k = 0; k <= 2 * reach_; k += 2) {
      window_.push_back(tone(at));
      at = ring_next(ring_next(at, n), n);
    }
    const Tone here = tone(i);
    double most = 0.0;
    for (std::size_t c = 0; c < 3; ++c) {
      double off = 0.0;
      for (const Tone& t : window_) {
        off = std::max(off, std::abs(here[c] - t[c]));
      }
      most += off * off;
    }
    if (most <= least * least) {
      return 0.0;
    }
    double sum = 0.0;
    for (std::size_t c = 0; c < 3; ++c) {
      channel_.resize(window_.size());
      std::transform(window_.begin(), window_.end(), channel_.begin(),
                     [c](const Tone& t) { return t[c]; });
      const double off = here[c] - median(channel_);
      sum += off * off;
    }
    const double departure = std::sqrt(sum);
    return departure > least ? departure : 0.0;
  }

  // How much darker point i is than the median around it, log light.
  double darker(std::size_t i) {
    const std::size_t n = size();
    channel_.clear();
    std::size_t at = ring_before(i, reach_, n);
    for (std::size_t k = 0; k <= 2 * reach_; k += 2) {
      channel_.push_back(tone(at)[0]);
      at = ring_next(ring_next(at, n), n);
    }
    return median(channel_) - tone(i)[0];
  }

 private:
  const Photo& photo_;
  const Polygon& outline_;
  const Polygon& outward_;
  double distance_px_;
  std::size_t reach_;
  std::vector<Tone> tones_;
  std::vector<char> read_;
  std::vector<Tone> window_;
  std::vector<double> channel_;
};

// What lies under the run and to both sides of it.
struct RunTones {
  Tone run;
  Tone left;
  Tone right;
};

RunTones tones_of(Ring& ring, std::size_t first, std::size_t length) {
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
std::optional<std::size_t> clearest(Ring& ring, std::size_t first, std::size_t count) {
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

// Neighbouring points that are marked; single gaps do not end a run.
struct Run {
  std::size_t first;
  std::size_t length;
};

std::vector<Run> runs_of(const std::vector<char>& marks) {
  const std::size_t n = marks.size();
  const auto marked = [&](std::size_t i) { return marks[i % n] != 0; };
  std::vector<Run> runs;
  std::size_t start = 0;
  while (start < n && marked(start)) {
    ++start;  // begin between runs
  }
  for (std::size_t i = start; i < start + n; ++i) {
    if (!marked(i)) {
      continue;
    }
    std::size_t end = i;
    while (end + 1 < i + n && (marked(end + 1) || marked(end + 2))) {
      ++end;
    }
    runs.push_back({i % n, end - i + 1});
    i = end;
  }
  return runs;
}

}  // namespace

std::vector<Stub> find_stubs(const Photo& photo, const Polygon& outline, const Polygon& outward,
                             double unit_px) {
  const std::size_t n = outline.size();
  std::vector<Ring> rings;
  rings.reserve(kRings);
  for (std::size_t r = 0; r < kRings; ++r) {
    rings.emplace_back(photo, outline, outward, ring_distance(r, unit_px));
  }
  std::vector<char> stands_out(n);
  for (std::size_t i = 0; i < n; ++i) {
    stands_out[i] = rings[0].departure(i, kLeastChange) > 0.0 ? 1 : 0;
  }
  const auto widest = static_cast<std::size_t>(kWidest * static_cast<double>(n));
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

std::vector<Stub> find_stem_feet(const Photo& photo, const Polygon& outline, const Polygon& outward,
                                 double unit_px) {
  constexpr double kInside = 0.15;     // units
  constexpr double kLeastOut = 0.07;   // units
  constexpr double kDarker = 0.6;      // log light
  constexpr double kShortest = 0.012;  // share of the outline
  constexpr double kSureness = 1.0;    // as a stem that is followed for so many units
  const std::size_t n = outline.size();
  Ring ring(photo, outline, outward, -kInside * unit_px);
  std::vector<char> dark(n);
  for (std::size_t i = 0; i < n; ++i) {
    dark[i] = ring.darker(i) > 0.5 * kDarker ? 1 : 0;
  }
  std::vector<Stub> feet;
  for (const Run& run : runs_of(dark)) {
    const double share = static_cast<double>(run.length) / static_cast<double>(n);
    if (share < kShortest || share > kWidest) {
      continue;
    }
    const Stub foot{run.first, run.length, kSureness * unit_px, 1.0};
    Polygon bridged = outline;
    bridge(bridged, foot);
    double darkest = 0.0;
    double out = 0.0;
    std::size_t i = run.first;
    for (std::size_t k = 0; k < run.length; ++k, i = ring_next(i, n)) {
      darkest = std::max(darkest, ring.darker(i));
      out = std::max(out, outward[i].dot(outline[i] - bridged[i]));
    }
    if (darkest > kDarker && out > kLeastOut * unit_px) {
      feet.push_back(foot);
    }
  }
  return feet;
}

}  // namespace maturity
