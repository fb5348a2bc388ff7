#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <vector>

#include "libmaturity/descriptors/edge_error.h"
#include "libmaturity/descriptors/framed_outline.h"
#include "libmaturity/pose/pose_response.h"

namespace maturity {

/// How a value answers to the turning of the axis: mean change per radian, and the variance beyond
/// that of the slope.
struct TurnAnswer {
  double slope = 0.0;
  double scatter = 0.0;
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
  double stem_variance() const { return stem_variance_; }
  double turn_stem_covariance() const { return turn_stem_; }
  /// Covariance of a point's error with the turn, and with the stem's slide.
  double turn_with(std::size_t point) const { return with(response_.turn, point); }
  double stem_with(std::size_t point) const { return with(response_.stem_slide, point); }
  /// Smoothed as by EdgeError::smoothed.
  const std::vector<double>& smooth_turn() const { return smooth_turn_; }
  /// What goes with a turn of one radian, on the mean.
  const PoseChange& per_turn() const { return per_turn_; }

  /// Answer of a value that is known for every turn (radians, in the frame) and may have kinks:
  /// over equally likely turns.
  template <typename Value>
  TurnAnswer answer(const Value& value) const {
    const double sd = turn_sd();
    double mean = 0.0;
    double slope = 0.0;
    double squares = 0.0;
    for (const double t : kTurns) {
      const double f = value(response_.mean_turn + sd * t);
      mean += f / kTurns.size();
      slope += f * t / kTurns.size();
      squares += f * f / kTurns.size();
    }
    return {sd > 0.0 ? slope / sd : 0.0, std::max(0.0, squares - mean * mean - slope * slope)};
  }

 private:
  /// Middles of 16 equally likely parts of a normal distribution, scaled to a variance of 1.
  static constexpr std::array<double, 16> kTurns = {
      -1.938159, -1.371381, -1.050887, -0.807861, -0.602583, -0.418538, -0.246807, -0.081588,
      0.081588,  0.246807,  0.418538,  0.602583,  0.807861,  1.050887,  1.371381,  1.938159};

  double with(const std::vector<double>& response, std::size_t point) const;

  PoseResponse response_;
  std::vector<double> covariance_;
  std::vector<double> smooth_turn_;
  double turn_variance_ = 0.0;
  double stem_variance_ = 0.0;
  double turn_stem_ = 0.0;
  PoseChange per_turn_;
};

/// The response in the order and the sense of the framed outline: with the beak side at -1 the
/// frame runs the other way round.
PoseResponse framed_response(PoseResponse response, const Pose& pose);

}  // namespace maturity
