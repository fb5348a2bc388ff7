#include "libmaturity/outline/stem_stub.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr int kRings = 8;
constexpr double kFirstRing = 0.7;  // in units (about 3 mm), outside the outline
constexpr double kRingStep = 0.5;
constexpr double kNeighbourhood = 0.04;  // share of the outline on each side
constexpr double kWidest = 0.045;        // share of the outline that a stem may cover
constexpr double kLeastChange = 0.45;    // of log light or colour difference, against the median

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

  // How much the colour at point i departs from the median around it.
  double departure(std::size_t i) {
    const std::size_t n = size();
    double sum = 0.0;
    for (std::size_t c = 0; c < 3; ++c) {
      window_.clear();
      for (std::size_t k = 0; k <= 2 * reach_; k += 2) {
        window_.push_back(tone((i + n + k - reach_) % n).at(c));
      }
      const double off = tone(i).at(c) - median(window_);
      sum += off * off;
    }
    return std::sqrt(sum);
  }

 private:
  const Photo& photo_;
  const Polygon& outline_;
  const Polygon& outward_;
  double distance_px_;
  std::size_t reach_;
  std::vector<Tone> tones_;
  std::vector<char> read_;
  std::vector<double> window_;
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

double likeness_of(const RunTones& t, double share_of_outline) {
  constexpr double kYellower = 0.12;
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

// A narrow thing that stands out between two hollow corners. Shares are of the perimeter.
struct SpikeForm {
  double arm;     // over which a corner turns; 0.008: about 2.5 mm on a fruit
  double corner;  // rad of hollow turn that makes a corner
  double widest;  // of its base
  double least_height;
};

std::vector<Stub> spikes_of(const Polygon& outline, const SpikeForm& form) {
  const std::size_t n = outline.size();
  const double length = perimeter(outline);
  const auto arm = std::max<std::size_t>(
      2, static_cast<std::size_t>(std::lround(form.arm * static_cast<double>(n))));
  const double sign = signed_area(outline) > 0.0 ? 1.0 : -1.0;
  std::vector<double> turn(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = outline[i] - outline[(i + n - arm) % n];
    const Point b = outline[(i + arm) % n] - outline[i];
    turn[i] = sign * std::atan2(a.x() * b.y() - a.y() * b.x(), a.dot(b));
  }
  const auto hollow_corner = [&](std::size_t i) {
    if (turn[i % n] > -form.corner) {
      return false;
    }
    for (std::size_t k = 1; k <= arm; ++k) {
      if (turn[(i + k) % n] < turn[i % n] || turn[(i + n - k) % n] < turn[i % n]) {
        return false;
      }
    }
    return true;
  };
  std::vector<std::size_t> corners;
  for (std::size_t i = 0; i < n; ++i) {
    if (hollow_corner(i)) {
      corners.push_back(i);
    }
  }
  std::vector<Stub> spikes;
  for (std::size_t c = 0; c < corners.size(); ++c) {
    const std::size_t i = corners[c];
    const std::size_t j = corners[(c + 1) % corners.size()];
    const std::size_t span = (j + n - i) % n;
    const Point base = outline[j] - outline[i];
    if (span < 3 || base.norm() > form.widest * length ||
        static_cast<double>(span) > 0.2 * static_cast<double>(n)) {
      continue;
    }
    double height = 0.0;
    const Point outward = sign * Point(base.y(), -base.x()).normalized();
    for (std::size_t k = 1; k < span; ++k) {
      height = std::max(height, outward.dot(outline[(i + k) % n] - outline[i]));
    }
    if (height > form.least_height * length) {
      spikes.push_back({i, span + 1, height, 1.0});
    }
  }
  return spikes;
}

}  // namespace

std::vector<Stub> find_stubs(const Photo& photo, const Polygon& outline, const Polygon& outward,
                             double unit_px) {
  const std::size_t n = outline.size();
  std::vector<Ring> rings;
  rings.reserve(kRings);
  for (int r = 0; r < kRings; ++r) {
    rings.emplace_back(photo, outline, outward, (kFirstRing + kRingStep * r) * unit_px);
  }
  std::vector<char> stands_out(n);
  for (std::size_t i = 0; i < n; ++i) {
    stands_out[i] = rings[0].departure(i) > kLeastChange ? 1 : 0;
  }
  const auto widest = static_cast<std::size_t>(kWidest * static_cast<double>(n));
  const auto marked = [&](std::size_t i) { return stands_out[i % n] != 0; };
  std::vector<Stub> stubs;
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
    const std::size_t length = end - i + 1;
    const RunTones tones = tones_of(rings[0], i % n, length);
    if (length >= 2 && length <= widest && stands_alone(tones)) {
      int ring = 1;
      while (ring < kRings) {
        // It may lean: look a little to both sides as it goes out.
        bool seen = false;
        const std::size_t lean = length + static_cast<std::size_t>(ring) * 2;
        for (std::size_t k = 0; k < length + 2 * lean && !seen; ++k) {
          seen = rings[static_cast<std::size_t>(ring)].departure((i + n + k - lean % n) % n) >
                 kLeastChange;
        }
        if (!seen) {
          break;
        }
        ++ring;
      }
      stubs.push_back({i % n, length, (kFirstRing + kRingStep * (ring - 1)) * unit_px,
                       likeness_of(tones, static_cast<double>(length) / static_cast<double>(n))});
    }
    i = end;
  }
  return stubs;
}

std::vector<Stub> find_spikes(const Polygon& outline) {
  // A stub cut by a sharp edge, and one whose edge is soft (out of focus, in its own shade): wider
  // and higher before it counts, since its corners are those of many a knob.
  constexpr SpikeForm kSharp{0.008, 0.45, 0.032, 0.003};
  constexpr SpikeForm kSoft{0.012, 0.35, 0.045, 0.006};
  std::vector<Stub> spikes = spikes_of(outline, kSharp);
  const std::size_t n = outline.size();
  const std::size_t sharp = spikes.size();
  for (const Stub& soft : spikes_of(outline, kSoft)) {
    const bool known = std::any_of(
        spikes.begin(), spikes.begin() + static_cast<std::ptrdiff_t>(sharp), [&](const Stub& s) {
          return (s.first + n - soft.first) % n < soft.length ||
                 (soft.first + n - s.first) % n < s.length;
        });
    if (!known) {
      spikes.push_back(soft);
    }
  }
  return spikes;
}

void bridge(Polygon& outline, const Stub& stub) {
  constexpr std::size_t kMostMargin = 8;
  bridge(outline, stub, std::min(3 + stub.length / 3, kMostMargin));
}

void bridge(Polygon& outline, const Stub& stub, std::size_t margin) {
  const std::size_t n = outline.size();
  const std::size_t arm = std::max<std::size_t>(8, std::min(stub.length, n / 12));
  const std::size_t from = (stub.first + n - margin) % n;
  const std::size_t span = stub.length + 2 * margin;
  if (span + 2 * arm >= n) {
    return;
  }
  // In polar coordinates about the centre a round body is flat, and the curve cannot overshoot as a
  // parabola over a long chord would.
  const Point centre = area_centroid(outline);
  const auto angle_from = [&](const Point& reference, const Point& p) {
    const Point a = reference - centre;
    const Point b = p - centre;
    return std::atan2(a.x() * b.y() - a.y() * b.x(), a.dot(b));
  };
  const Point& before = outline[(from + n - 1) % n];
  const Point& after = outline[(from + span) % n];
  const Point middle_direction = 0.5 * (before + after);
  const double left = angle_from(middle_direction, before);
  const double right = angle_from(middle_direction, after);
  if (!(std::abs(right - left) > 1e-6) || std::abs(right - left) > 2.0) {
    return;
  }
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right_side = Eigen::Vector3d::Zero();
  for (std::size_t k = 1; k <= arm; ++k) {
    for (const Point& p : {outline[(from + n - k) % n], outline[(from + span - 1 + k) % n]}) {
      const double t = angle_from(middle_direction, p) / (right - left);
      const Eigen::Vector3d row(1.0, t, t * t);
      normal += row * row.transpose();
      right_side += row * (p - centre).norm();
    }
  }
  const Eigen::Vector3d curve = normal.ldlt().solve(right_side);
  if (!curve.allFinite()) {
    return;
  }
  const Point unit = (middle_direction - centre).normalized();
  for (std::size_t k = 0; k < span; ++k) {
    const double share = static_cast<double>(k + 1) / static_cast<double>(span + 1);
    const double angle = left + share * (right - left);
    const double t = angle / (right - left);
    const double r = curve(0) + curve(1) * t + curve(2) * t * t;
    outline[(from + k) % n] =
        centre + r * Point(unit.x() * std::cos(angle) - unit.y() * std::sin(angle),
                           unit.x() * std::sin(angle) + unit.y() * std::cos(angle));
  }
}

}  // namespace maturity
