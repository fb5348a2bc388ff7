#include "libmaturity/pose/nose_slide.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "libmaturity/core/nearest_point.h"
#include "libmaturity/pose/slide_variance.h"

namespace maturity {

namespace {

/// Variance of the place of the top of errors on a parabola, in squared units of length; `bend` is
/// that of the parabola, `step` the distance of the points between which the place is read off.
/// With b = bend * length^2 / sd it is length^2 / (b^2 + 2.2 b exp(-sqrt b)), a curve through
/// values drawn at b of 0.01 to 50 (docs/method/shape.md), good to 4 % of the spread; on a sharp
/// nose the slope of the errors is what neighbours differ by.
double top_variance(double bend, double step, const EdgeNoise& noise) {
  if (!(noise.sd > 0.0)) {
    return 0.0;
  }
  const double square = noise.correlation_length * noise.correlation_length;
  const double b = bend * square / noise.sd;
  const double share = b / (b + 2.2 * std::exp(-std::sqrt(b)));
  const double apart = 2.0 * step;
  const double slope =
      2.0 * (1.0 - noise.covariance(apart) / noise.variance()) * square / (apart * apart);
  return square * share / (b * b) * (1.0 - share * (1.0 - slope));
}

/// The parabola that the distance from the stem follows where the nose may be: places in points
/// from the nose.
struct Top {
  double middle = 0.0;
  double sd = 0.0;
  double bend = 0.0;
};

constexpr double kReach = 3.0;

class Distances {
 public:
  Distances(const OutlineTraits& traits, Point stem, std::size_t nose)
      : traits_(traits), stem_(std::move(stem)), nose_(nose), at_nose_(at(0)) {}
  double at_nose() const { return at_nose_; }
  double at(std::ptrdiff_t steps) const {
    return (traits_.points[traits_.at(nose_, steps)] - stem_).norm();
  }

  /// Least squares about the top, weighed by the chances of a normal distribution.
  Top fit(const Top& top) const {
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    const auto from = static_cast<std::ptrdiff_t>(std::ceil(top.middle - kReach * top.sd));
    const auto to = static_cast<std::ptrdiff_t>(std::floor(top.middle + kReach * top.sd));
    for (std::ptrdiff_t k = from; k <= to; ++k) {
      const double x = static_cast<double>(k) - top.middle;
      const double t = x / top.sd;
      const Eigen::Vector3d terms(1.0, x, x * x);
      const double weight = std::exp(-0.5 * t * t);
      normal += weight * terms * terms.transpose();
      right += weight * (at(k) - at_nose_) * terms;
    }
    const Eigen::Vector3d line = normal.inverse() * right;
    Top next = top;
    next.bend = -2.0 * line(2) / (traits_.step * traits_.step);
    if (line(2) < 0.0) {
      const double moved = -0.5 * line(1) / line(2);
      next.middle += std::clamp(moved, -top.sd, top.sd);
    }
    return next;
  }

 private:
  const OutlineTraits& traits_;
  Point stem_;
  std::size_t nose_;
  double at_nose_;
};

}  // namespace

NoseSlide nose_slide(const OutlineTraits& traits, const Point& stem, const Point& place,
                     const EdgeNoise& noise) {
  const std::size_t nose = nearest_point(traits.points, place);
  const Distances distances(traits, stem, nose);
  const double least_bend = 0.05 / distances.at_nose();
  const double most_sd = static_cast<double>(traits.size()) / 24.0;
  // Near enough to two points, or there is no parabola.
  constexpr double kLeastSd = 1.2;
  const auto sd_of = [&](double bend) {
    return std::sqrt(top_variance(bend, traits.step, noise)) / traits.step;
  };
  Top top;
  top.bend = traits.bend[nose] - 1.0 / distances.at_nose();
  for (int pass = 0; pass < 3; ++pass) {
    top.bend = std::max(top.bend, least_bend);
    top.sd = std::clamp(sd_of(top.bend), kLeastSd, most_sd);
    top = distances.fit(top);
  }
  NoseSlide slide;
  slide.bend = std::max(top.bend, least_bend);
  const double sd = std::min(sd_of(slide.bend), most_sd);
  const Point chord = traits.points[traits.at(nose, 1)] - traits.points[traits.at(nose, -1)];
  const double found = (place - traits.points[nose]).dot(chord.normalized()) / traits.step;
  // A stretch wider than the nose moves over leans further.
  const double narrower = std::min(1.0, sd / top.sd);
  const double middle = found + narrower * narrower * (top.middle - found);
  slide.mean = noise.sd > 0.0 ? (middle - found) * traits.step : 0.0;
  slide.by_edge.assign(traits.size(), 0.0);
  // The slope of the errors, averaged over where the nose may be.
  const double spread = std::max(sd, 0.5);
  const auto first = static_cast<std::ptrdiff_t>(std::floor(top.middle - kReach * spread));
  const auto last = static_cast<std::ptrdiff_t>(std::ceil(top.middle + kReach * spread));
  std::vector<double> chance;
  double sum = 0.0;
  for (std::ptrdiff_t k = first; k <= last; ++k) {
    const double t = (static_cast<double>(k) - top.middle) / spread;
    chance.push_back(std::exp(-0.5 * t * t));
    sum += chance.back();
  }
  const double by_slope = 1.0 / (sum * slide.bend * 2.0 * traits.step);
  for (std::ptrdiff_t k = first; k <= last; ++k) {
    const double weight = chance[static_cast<std::size_t>(k - first)] * by_slope;
    slide.by_edge[traits.at(nose, k + 1)] += weight;
    slide.by_edge[traits.at(nose, k - 1)] -= weight;
  }
  const double by_edge = slide_variance(traits, slide.by_edge, traits.at(nose, first - 1),
                                        static_cast<std::size_t>(last - first) + 3, noise);
  const double variance = sd * sd * traits.step * traits.step;
  slide.scatter = std::max(0.0, variance - by_edge);
  slide.sd = std::sqrt(by_edge + slide.scatter);
  return slide;
}

}  // namespace maturity
