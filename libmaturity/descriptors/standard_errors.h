#pragma once

#include <array>
#include <limits>
#include <optional>
#include <vector>

#include "libmaturity/descriptors/edge_error.h"
#include "libmaturity/descriptors/measure_shape.h"
#include "libmaturity/descriptors/turned_shape.h"

namespace maturity {

/// Turns the gradients of one outline into standard errors, the moving frame included.
class StandardErrors : public GradientSink {
 public:
  /// All three are kept by reference.
  StandardErrors(const FramedOutline& outline, const EdgeNoise& noise, const PoseErrors& pose);

  void take(Descriptor descriptor, const EdgeGradient& gradient) override;
  void take_length(const EdgeGradient& gradient) override { length_ = sum_up(gradient); }
  void take_width(const EdgeGradient& gradient) override { width_ = sum_up(gradient); }
  EdgeNoise noise() const override { return noise_; }
  const PoseErrors& pose() const override { return pose_; }

  /// Standard errors of what was taken; NaN where nothing was. With `turned` a turn of the axis
  /// counts as it was measured, without as it follows from the gradient, unless that says itself.
  double of(Descriptor descriptor, const std::optional<TurnedShape>& turned) const;
  double of_length(const std::optional<TurnedShape>& turned) const;
  double of_width(const std::optional<TurnedShape>& turned) const;

 private:
  struct Sums {
    double variance = std::numeric_limits<double>::quiet_NaN();
    /// Covariance with the turn, and change per radian of turn by what the gradient says.
    double with_turn = 0.0;
    double slope = 0.0;
    std::optional<TurnAnswer> turned;
  };

  Sums sum_up(const EdgeGradient& gradient);
  double error_of(const Sums& sums, const TurnAnswer* measured) const;

  const FramedOutline& outline_;
  const EdgeNoise& noise_;
  EdgeError error_;
  const PoseErrors& pose_;
  /// d(y of the centre) per outward movement of each point, in the frame.
  std::vector<double> centre_lift_;
  std::array<Sums, kDescriptorCount> sums_;
  Sums length_;
  Sums width_;
  std::vector<double> total_;
};

}  // namespace maturity
