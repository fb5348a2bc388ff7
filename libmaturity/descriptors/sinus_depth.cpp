#include "libmaturity/descriptors/sinus_depth.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "libmaturity/descriptors/greatest.h"
#include "libmaturity/descriptors/normal_parts.h"

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

/// Standard error of the beak's place, in points, from which the depth is not straight over it.
constexpr double kBeakWanders = 0.7;

/// The depth where the beak stands at one of its places and all else is left to the errors.
struct DepthThere {
  /// The place less its mean, over its standard error.
  double off = 0.0;
  double mean = 0.0;
  double variance = 0.0;
};

/// Errors of the depth where those of the edge move the beak a long way: another stretch is the
/// deepest there, and another part of the edge beside it is left out.
class WanderingBeak {
 public:
  WanderingBeak(const EdgeGradient& gradient, const EdgeRises& rises, const Beak& beak)
      : gradient_(gradient), rises_(rises), beak_(beak) {
    EdgeError error = gradient.error();
    const std::vector<double> smooth = error.smoothed(beak_place_answer(gradient.outline(), beak));
    double variance = 0.0;
    for (const double one : smooth) {
      variance += one * one;
    }
    sd_ = std::sqrt(variance);
    with_place_ = error.smoothed(smooth);
    for (double& one : with_place_) {
      one /= sd_;
    }
    // However large the errors, the mean place stays among those that are looked at: evenly spread
    // at most.
    sd_ = std::min(sd_, last_place() / std::sqrt(12.0));
    fill_covariances();
    look_at_places();
  }

  /// The variance over all places is that of the means and the mean of the variances.
  double variance() const {
    double mean = 0.0;
    double squares = 0.0;
    for (const double off : kNormalParts) {
      const DepthThere there = between(off);
      mean += there.mean / kNormalParts.size();
      squares += (there.mean * there.mean + there.variance) / kNormalParts.size();
    }
    return squares - mean * mean;
  }

 private:
  double last_place() const { return static_cast<double>(kBeakStride * (beak_.places.size() - 1)); }

  /// Depths nearer the beak are known less well, since more of the edge beside them is left out:
  /// how they go together is taken from the middle, how large their errors are from both ends too,
  /// all with the beak at its mean place.
  void fill_covariances() {
    const FramedOutline& outline = gradient_.outline();
    const std::size_t point = outline.at(
        beak_.places.front().at, static_cast<std::ptrdiff_t>(std::lround(beak_.mean_place)));
    const auto covariances = [&](double steps, std::size_t lags) {
      const std::size_t at = outline.at(point, static_cast<std::ptrdiff_t>(std::lround(steps)));
      return rises_.covariances(gradient_, rises_.at(at, LeftOut{point, kBeakLeftOut}), lags);
    };
    const double per_length = outline.length / outline.step();
    covariance_ = covariances(0.5 * (kNearest + kFarthest) * per_length, EdgeRises::kMostLags);
    const double middle = covariance_[0];
    first_sd_ = std::sqrt(covariances(kNearest * per_length, 1)[0] / middle);
    last_sd_ = std::sqrt(covariances(kFarthest * per_length, 1)[0] / middle);
  }

  /// Five places at most, out to about twice the standard error; in between the depth is straight.
  void look_at_places() {
    const double apart = std::max(1.0, std::round(0.9 * sd_));
    const auto each_way = std::lround(1.7 * sd_ / apart);
    for (auto k = -each_way; k <= each_way; ++k) {
      const double place = std::round(beak_.mean_place) + static_cast<double>(k) * apart;
      if (place >= 0.0 && place <= last_place()) {
        there_.push_back(depth_at(place));
      }
    }
  }

  /// Every second place will do, the last one with them: neighbours are much alike.
  DepthThere depth_at(double place) const {
    const FramedOutline& outline = gradient_.outline();
    const std::size_t point =
        outline.at(beak_.places.front().at, static_cast<std::ptrdiff_t>(place));
    const LeftOut left_out{point, kBeakLeftOut};
    const double per_length = outline.length / outline.step();
    const auto nearest = static_cast<std::ptrdiff_t>(std::lround(kNearest * per_length));
    const auto farthest = static_cast<std::ptrdiff_t>(std::lround(kFarthest * per_length));
    std::vector<std::ptrdiff_t> steps;
    for (std::ptrdiff_t k = nearest; k < farthest; k += 2) {
      steps.push_back(k);
    }
    steps.push_back(farthest);
    std::vector<EdgeRise> rises;
    rises.reserve(steps.size());
    for (const std::ptrdiff_t k : steps) {
      rises.push_back(rises_.at(outline.at(point, k), left_out));
    }
    // Between the two ends the covariance with the beak's place is straight.
    const std::size_t last = rises.size() - 1;
    const double first_with = with_place(rises_.answer_of(rises[0]));
    const double last_with = with_place(rises_.answer_of(rises[last]));
    const auto across = static_cast<double>(steps[last] - steps[0]);
    DepthThere there;
    there.off = (place - beak_.mean_place) / sd_;
    std::vector<double> with;
    std::vector<double> sd;
    Greatest deepest;
    for (std::size_t k = 0; k <= last; ++k) {
      const double share = across > 0.0 ? static_cast<double>(steps[k] - steps[0]) / across : 0.0;
      with.push_back(first_with + share * (last_with - first_with));
      sd.push_back(share < 0.5 ? first_sd_ + 2.0 * share * (1.0 - first_sd_)
                               : 1.0 + (2.0 * share - 1.0) * (last_sd_ - 1.0));
      deepest.add(-rises[k].height - with[k] * there.off);
    }
    for (std::size_t a = 0; a <= last; ++a) {
      for (std::size_t b = a; b <= last; ++b) {
        const auto apart = static_cast<std::size_t>(steps[b] - steps[a]);
        deepest.set_covariance(a, b, sd[a] * sd[b] * covariance_[apart] - with[a] * with[b]);
      }
    }
    deepest.solve();
    there.mean = deepest.mean();
    there.variance = deepest.variance();
    return there;
  }

  /// Covariance of a height with the beak's place, over the standard error of that.
  double with_place(const RiseAnswer& answer) const {
    const FramedOutline& outline = gradient_.outline();
    double sum = 0.0;
    std::size_t i = answer.first;
    for (const double one : answer.by_normal) {
      sum += one * with_place_[i];
      i = outline.next(i);
    }
    return sum;
  }

  DepthThere between(double off) const {
    if (there_.size() == 1) {
      return there_.front();
    }
    std::size_t k = 1;
    while (k + 1 < there_.size() && there_[k].off < off) {
      ++k;
    }
    const DepthThere& a = there_[k - 1];
    const DepthThere& b = there_[k];
    const double share = (off - a.off) / (b.off - a.off);
    return {off, a.mean + share * (b.mean - a.mean),
            a.variance + std::clamp(share, 0.0, 1.0) * (b.variance - a.variance)};
  }

  const EdgeGradient& gradient_;
  const EdgeRises& rises_;
  const Beak& beak_;
  double sd_ = 0.0;
  std::vector<double> with_place_;
  /// Of the depths of two places so many points apart in the middle, and the standard errors at
  /// both ends over that of the middle.
  std::vector<double> covariance_;
  double first_sd_ = 1.0;
  double last_sd_ = 1.0;
  std::vector<DepthThere> there_;
};

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
    if (beak_place_error(*gradient, *beak) > kBeakWanders) {
      gradient->add_scatter(WanderingBeak(*gradient, rises, *beak).variance());
    } else {
      // One point apart the two say the same of the scatter.
      add_highest(*gradient, outline, share < 0.5 ? before : after, -1.0, -1.0);
      add_beak_place(*gradient, outline, *beak, depth_after - depth_before);
    }
  }
  return (1.0 - share) * depth_before + share * depth_after;
}

}  // namespace maturity
