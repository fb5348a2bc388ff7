#include "libmaturity/pose/stem_belief.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace maturity {

namespace {

/// How far from the proximal end the stem may sit, over the length.
constexpr double kStemZone = 0.22;
/// Error of a stem place seen in the photo, over the length.
constexpr double kSeenSpread = 0.03;
/// The second pass starts from the axis that the first one found.
constexpr int kPasses = 2;

struct Extent {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
  std::size_t lowest = 0;
};

Extent extent_along(const OutlineTraits& traits, const Point& axis) {
  Extent extent;
  for (std::size_t i = 0; i < traits.size(); ++i) {
    const double x = (traits.points[i] - traits.centre).dot(axis);
    if (x < extent.low) {
      extent.low = x;
      extent.lowest = i;
    }
    extent.high = std::max(extent.high, x);
  }
  return extent;
}

void fill_chances(StemBelief& belief, const OutlineTraits& traits, const Point& axis,
                  const PoseEvidence& evidence) {
  const Extent extent = extent_along(traits, axis);
  belief.length = extent.high - extent.low;
  const double limit = extent.low + kStemZone * belief.length;
  const auto proximal = [&](std::ptrdiff_t steps) {
    return (traits.points[traits.at(extent.lowest, steps)] - traits.centre).dot(axis) < limit;
  };
  const auto most = static_cast<std::ptrdiff_t>(traits.size() / 2) - 1;
  std::ptrdiff_t back = 0;
  while (back < most && proximal(-back - 1)) {
    ++back;
  }
  std::ptrdiff_t on = 0;
  while (on < most && proximal(on + 1)) {
    ++on;
  }
  belief.first = traits.at(extent.lowest, -back);
  belief.chance.resize(static_cast<std::size_t>(back + on + 1));
  const Point across(-axis.y(), axis.x());
  double sum = 0.0;
  for (std::size_t k = 0; k < belief.chance.size(); ++k) {
    const std::size_t i = traits.at(belief.first, static_cast<std::ptrdiff_t>(k));
    const double offset =
        (traits.points[i] - traits.centre).dot(across) / (kStemSpread * belief.length);
    const double bend = flatness(traits.bend[i] * belief.length);
    double chance = std::exp(-kFlatnessWeight * bend - 0.5 * offset * offset);
    if (evidence.stem_base) {
      const double away =
          (traits.points[i] - *evidence.stem_base).norm() / (kSeenSpread * belief.length);
      const double p = evidence.stem_base_probability;
      chance *= (1.0 - p) + p * std::exp(-0.5 * away * away) / kSeenSpread;
    }
    belief.chance[k] = chance;
    sum += chance;
  }
  if (!(sum > 0.0)) {
    // All spikes: every place is so unlikely that the chances vanish; none is preferred then.
    std::fill(belief.chance.begin(), belief.chance.end(), 1.0);
    sum = static_cast<double>(belief.chance.size());
  }
  belief.mean = 0.0;
  double squares = 0.0;
  for (std::size_t k = 0; k < belief.chance.size(); ++k) {
    belief.chance[k] /= sum;
    const auto place = static_cast<double>(k);
    belief.mean += belief.chance[k] * place;
    squares += belief.chance[k] * place * place;
  }
  belief.sd = std::sqrt(std::max(0.0, squares - belief.mean * belief.mean));
}

void place_stem_and_nose(StemBelief& belief, const OutlineTraits& traits) {
  const double whole = std::floor(belief.mean);
  const std::size_t i = traits.at(belief.first, static_cast<std::ptrdiff_t>(whole));
  const Point& a = traits.points[i];
  belief.stem = a + (belief.mean - whole) * (traits.points[traits.at(i, 1)] - a);
  double farthest = -1.0;
  for (std::size_t k = 0; k < traits.size(); ++k) {
    const double d = (traits.points[k] - belief.stem).squaredNorm();
    if (d > farthest) {
      farthest = d;
      belief.nose_index = k;
    }
  }
  // The farthest place between the points: top of the parabola through three distances.
  const std::size_t n = belief.nose_index;
  const std::array<std::size_t, 2> beside = {traits.at(n, -1), traits.at(n, 1)};
  const double before = (traits.points[beside[0]] - belief.stem).squaredNorm();
  const double after = (traits.points[beside[1]] - belief.stem).squaredNorm();
  const double fall = 2.0 * farthest - before - after;
  const double share = fall > 0.0 ? 0.5 * (after - before) / fall : 0.0;
  const Point& towards = traits.points[beside[share > 0.0 ? 1 : 0]];
  belief.nose = traits.points[n] + std::abs(share) * (towards - traits.points[n]);
  belief.axis = (belief.nose - belief.stem).normalized();
}

}  // namespace

StemBelief believe_stem(const OutlineTraits& traits, const Point& towards_nose,
                        const PoseEvidence& evidence) {
  StemBelief belief;
  belief.axis = towards_nose;
  for (int pass = 0; pass < kPasses; ++pass) {
    fill_chances(belief, traits, belief.axis, evidence);
    place_stem_and_nose(belief, traits);
  }
  const Extent extent = extent_along(traits, belief.axis);
  belief.length = extent.high - extent.low;
  return belief;
}

}  // namespace maturity
