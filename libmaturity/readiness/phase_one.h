#pragma once

#include <Eigen/Core>
#include <vector>

namespace maturity {

/// The shapes of a block's random sample, standardised, and how well their mean is known.
struct PhaseOne {
  /// (n,p): (raw - mean) / sd of the random sample; rows without shape stay NaN.
  Eigen::MatrixXd x;
  /// Of the random sample, raw units (p); sd with divisor n1 - 1.
  Eigen::VectorXd mean;
  Eigen::VectorXd sd;
  /// Covariance of x between fruit (p,p).
  Eigen::MatrixXd between_fruit;
  /// Sampling covariance of the mean of x, trees taken as the clusters (p,p).
  Eigen::MatrixXd of_the_mean;
  int fruit = 0;
  int trees = 0;
};

/// Standardises `raw` (n,p) by the rows where `member` (n) is true, which must be finite and at
/// least 2 when p > 0. `tree` (n) holds a code per fruit. No column may be constant over the
/// members (see constant_columns).
///
/// Sampling covariance of the mean: clusters of unequal size, f * SUM (sum in tree)(sum in tree)'
/// / n1^2 with f = k/(k-1) (Cochran 1977, from memory) times (k-1)/(k-3) for k >= 5, else 2, which
/// pays for estimating it from few trees (a design choice). One tree: the covariance between fruit.
PhaseOne standardise(const Eigen::MatrixXd& raw, const std::vector<bool>& member,
                     const std::vector<int>& tree);

/// Columns of `raw` that do not vary over the members.
std::vector<int> constant_columns(const Eigen::MatrixXd& raw, const std::vector<bool>& member);

}  // namespace maturity
