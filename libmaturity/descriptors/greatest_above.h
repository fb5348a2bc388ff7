#pragma once

#include <Eigen/Dense>
#include <vector>

namespace maturity {

/// The greatest of several values that have normal errors, or 0 where all are below it: mean,
/// variance, and the chance of each to be it.
///
/// Near 0 it is as skew as can be, and nothing that takes it for normal on the way (`Greatest`)
/// comes near. So it is looked at in 256 fixed places of the errors' six main directions (Halton's
/// points), the same at every call.
struct GreatestAbove {
  /// At most this many values.
  static constexpr Eigen::Index kMost = 14;

  std::vector<double> chance;
  double mean = 0.0;
  double variance = 0.0;
};

GreatestAbove greatest_above_zero(const Eigen::VectorXd& values, const Eigen::MatrixXd& covariance);

}  // namespace maturity
