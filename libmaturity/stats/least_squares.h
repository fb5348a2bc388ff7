#pragma once

#include <Eigen/Core>

namespace maturity {

/// A straight fit by least squares. Where there are as many rows as coefficients nothing is left to
/// judge the error by, and every standard error is NaN.
struct LeastSquaresFit {
  /// Intercept first where one was asked for (p).
  Eigen::VectorXd coefficients;
  Eigen::VectorXd standard_errors;
  Eigen::MatrixXd covariance;
  Eigen::VectorXd residuals;
  double residual_sd = 0.0;
  /// 1 - SSE/SST; SST about the mean with an intercept, about 0 without.
  double r_squared = 0.0;
  double f_statistic = 0.0;
  double residual_sum_of_squares = 0.0;
  double model_sum_of_squares = 0.0;
  int model_degrees = 0;
  int residual_degrees = 0;
};

/// Fits y (n) on the columns of x (n,k), with an intercept unless told otherwise, by Householder QR
/// on columns scaled to unit length. Throws std::invalid_argument for lengths that differ, numbers
/// that are not finite, fewer rows than coefficients, or columns that depend on each other
/// (reciprocal pivot below 1e-14).
LeastSquaresFit fit_least_squares(const Eigen::MatrixXd& x, const Eigen::VectorXd& y,
                                  bool intercept = true);

}  // namespace maturity
