#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <utility>
#include <vector>

#include "libmaturity/descriptors/edge_error.h"
#include "libmaturity/descriptors/framed_outline.h"
#include "libmaturity/descriptors/normal_parts.h"
#include "libmaturity/pose/pose_response.h"

namespace maturity {

/// How a value answers to the turning of the axis: mean change per radian, and the variance beyond
/// that of the slope.
struct TurnAnswer {
  double slope = 0.0;
  double scatter = 0.0;
};

/// The outline with the axis turned by so much, radians in the sense of the frame.
struct TurnedOutline {
  double turn = 0.0;
  FramedOutline outline;
};

/// How far edge errors turn the axis and slide stem and nose, and how that goes with the errors of
/// single points; in the frame and the order of the framed outline.
class PoseErrors {
 public:
  /// `response`: of the outline as framed (`framed_response`).
  PoseErrors(PoseResponse response, const FramedOutline& outline, const EdgeNoise& noise);

  const PoseResponse& response() const { return response_; }
  /// Standard deviation of the turn, radians; 0 where the pose was stated.
  double turn_sd() const;
  double turn_variance() const { return turn_variance_; }
  /// Fourth moment of the turn over its squared variance: 3 if normal, less on a blunt nose.
  double fourth_moment() const { return fourth_moment_; }
  double stem_variance() const { return stem_variance_; }
  double turn_stem_covariance() const { return turn_stem_; }
  /// Covariance of a point's error with the turn, and with the stem's slide.
  double turn_with(std::size_t point) const { return with(response_.turn, point); }
  double stem_with(std::size_t point) const { return with(response_.stem_slide, point); }
  /// Smoothed as by EdgeError::smoothed.
  const std::vector<double>& smooth_turn() const { return smooth_turn_; }
  /// What goes with a turn of one radian, on the mean.
  const PoseChange& per_turn() const { return per_turn_; }

  /// The outline turned either way, less and more, by about as much as errors turn it; empty where
  /// they do not turn it far.
  const std::vector<TurnedOutline>& turned() const { return turned_; }
  void set_turned(std::vector<TurnedOutline> turned) { turned_ = std::move(turned); }

  /// Answer of a value that is known for every turn (radians, in the frame) and may have kinks:
  /// over equally likely turns.
  template <typename Value>
  TurnAnswer answer(const Value& value) const {
    const double sd = turn_sd();
    double mean = 0.0;
    double slope = 0.0;
    double squares = 0.0;
    for (const double t : turns_) {
      const double f = value(response_.mean_turn + sd * t);
      mean += f / kNormalParts.size();
      slope += f * t / kNormalParts.size();
      squares += f * f / kNormalParts.size();
    }
    return {sd > 0.0 ? slope / sd : 0.0, std::max(0.0, squares - mean * mean - slope * slope)};
  }

 private:
  double with(const std::vector<double>& response, std::size_t point) const;

  /// First order, scaled to how far the axis really turns.
  void scale_to(const TurnSpread& spread);

  PoseResponse response_;
  std::vector<double> covariance_;
  std::vector<double> smooth_turn_;
  std::array<double, TurnSpread::kParts> turns_ = kNormalParts;
  double fourth_moment_ = 3.0;
  double turn_variance_ = 0.0;
  double stem_variance_ = 0.0;
  double turn_stem_ = 0.0;
  PoseChange per_turn_;
  std::vector<TurnedOutline> turned_;
};

/// The response in the order and the sense of the framed outline: with the beak side at -1 the
/// frame runs the other way round.
PoseResponse framed_response(PoseResponse response, const Pose& pose);

}  // namespace maturity
