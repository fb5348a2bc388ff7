#include <algorithm>
#include <cmath>

#include "libmaturity/outline/stem_stub.h"

namespace maturity {

namespace {

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

}  // namespace maturity
