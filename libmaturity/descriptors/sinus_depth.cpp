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
  /// `by_place`: d(the beak's mean place, in points) per outward movement of each point.
  WanderingBeak(const EdgeGradient& gradient, const EdgeRises& rises, const Beak& beak,
                const std::vector<double>& by_place)
      : gradient_(gradient), rises_(rises), beak_(beak) {
    EdgeError error = gradient.error();
    const std::vector<double> smooth = error.smoothed(by_place);
    double variance = 0.0;
    for (const double one : smooth) {
      variance += one * one;
    }
    sd_ = std::sqrt(variance);
    with_place_ = error.smoothed(smooth);
    for (double& one : with_place_) {
      one /= sd_;
    }
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
  /// Five places at most, out to about twice the standard error; in between the depth is straight.
  void look_at_places() {
    const double apart = std::max(1.0, std::round(0.9 * sd_));
    const double each_way = std::round(1.7 * sd_ / apart);
    const auto last = static_cast<double>(kBeakStride * (beak_.places.size() - 1));
    for (double k = -each_way; k <= each_way; k += 1.0) {
      const double place = std::round(beak_.mean_place) + k * apart;
      if (place >= 0.0 && place <= last) {
        there_.push_back(depth_at(place));
      }
    }
  }

  DepthThere depth_at(double place) const {
    const FramedOutline& outline = gradient_.outline();
    const std::size_t point =
        outline.at(beak_.places.front().at, static_cast<std::ptrdiff_t>(place));
    const std::vector<RisePlace> places = places_behind(outline, rises_, point);
    DepthThere there;
    there.off = (place - beak_.mean_place) / sd_;
    // Neighbours are much alike: three answers tell how all go with the beak's place.
    const std::size_t last = places.size() - 1;
    const std::size_t middle = last / 2;
    const RiseAnswer at_middle = answer_of(outline, places[middle].first);
    const std::vector<double> covariance = rise_covariances(gradient_, at_middle);
    const double first_with = with_place(answer_of(outline, places[0].first));
    const double middle_with = with_place(at_middle);
    const double last_with = with_place(answer_of(outline, places[last].second));
    std::vector<double> with(places.size());
    for (std::size_t k = 0; k <= last; ++k) {
      const bool before = k < middle;
      const double share =
          before ? static_cast<double>(middle - k) / static_cast<double>(middle)
                 : static_cast<double>(k - middle) / static_cast<double>(last - middle);
      with[k] = middle_with + share * ((before ? first_with : last_with) - middle_with);
    }
    Greatest deepest;
    for (std::size_t k = 0; k <= last; ++k) {
      deepest.add(-places[k].height() - with[k] * there.off);
    }
    for (std::size_t a = 0; a <= last; ++a) {
      for (std::size_t b = a; b <= last; ++b) {
        deepest.set_covariance(a, b, covariance[b - a] - with[a] * with[b]);
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
      add_beak_place(*gradient, outline, *beak, 1.0);
      const double variance = WanderingBeak(*gradient, rises, *beak, gradient->normal()).variance();
      gradient->clear();
      gradient->add_scatter(variance);
    } else {
      // One point apart the two say the same of the scatter.
      add_highest(*gradient, outline, share < 0.5 ? before : after, -1.0, -1.0);
      add_beak_place(*gradient, outline, *beak, depth_after - depth_before);
    }
  }
  return (1.0 - share) * depth_before + share * depth_after;
}

}  // namespace maturity
