#include "libmaturity/pose/bend_profile.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

constexpr double kMostBend = 6.0;
constexpr double kBeakNearest = 0.06;
constexpr double kBeakFarthest = 0.42;

double limited(double bend) { return kMostBend * std::tanh(bend / kMostBend); }

/// The bends on the way along the edge from a point, in one direction, times the length.
class Walk {
 public:
  Walk(const OutlineTraits& traits, std::size_t start, std::ptrdiff_t direction, double length)
      : per_length_(length / traits.step) {
    const double farthest = kSideStretches.back() + kSwings.back();
    const auto steps = std::min(kMostSteps, static_cast<std::size_t>(farthest * per_length_) + 1);
    for (std::size_t k = 0; k < steps; ++k) {
      bends_[k] =
          length * traits.bend[traits.at(start, direction * static_cast<std::ptrdiff_t>(k))];
    }
    count_ = steps;
  }

  /// Mean between two distances along the edge, in lengths; 0 where no point lies between.
  double mean(double from, double to) const {
    const std::size_t first = place(from);
    const std::size_t end = place(to);
    double sum = 0.0;
    for (std::size_t k = first; k < end; ++k) {
      sum += bends_[k];
    }
    return end > first ? sum / static_cast<double>(end - first) : 0.0;
  }

  double greatest_fall(double over) const {
    const std::size_t gap = std::max<std::size_t>(1, place(over));
    double greatest = 0.0;
    for (std::size_t k = place(kBeakNearest); k < place(kBeakFarthest) && k + gap < count_; ++k) {
      greatest = std::max(greatest, bends_[k] - bends_[k + gap]);
    }
    return greatest;
  }

 private:
  static constexpr std::size_t kMostSteps = kPosePoints / 2;
  std::size_t place(double distance) const {
    return std::min(count_, static_cast<std::size_t>(std::ceil(distance * per_length_)));
  }

  double per_length_;
  std::size_t count_ = 0;
  std::array<double, kMostSteps> bends_{};
};

}  // namespace

BendProfile bend_profile(const OutlineTraits& traits, const StemBelief& belief) {
  const auto stem = traits.at(belief.first, std::lround(belief.mean));
  // Points turn from +x towards +y, so the side +1 of the axis comes after the nose.
  const Walk up(traits, belief.nose_index, +1, belief.length);
  const Walk down(traits, belief.nose_index, -1, belief.length);
  const Walk stem_up(traits, stem, +1, belief.length);
  const Walk stem_down(traits, stem, -1, belief.length);
  BendProfile profile;
  for (std::size_t k = 0; k < kSideBends; ++k) {
    const double from = kSideStretches[k];
    const double to = kSideStretches[k + 1];
    profile.sides[k] = limited(up.mean(from, to)) - limited(down.mean(from, to));
  }
  for (std::size_t k = 0; k < kSwings.size(); ++k) {
    profile.swings[k] = limited(up.greatest_fall(kSwings[k]) - down.greatest_fall(kSwings[k]));
  }
  for (std::size_t k = 0; k < kEndBends; ++k) {
    const double from = kEndStretches[k];
    const double to = kEndStretches[k + 1];
    profile.ends[k] = limited(0.5 * (up.mean(from, to) + down.mean(from, to))) -
                      limited(0.5 * (stem_up.mean(from, to) + stem_down.mean(from, to)));
  }
  return profile;
}

}  // namespace maturity
