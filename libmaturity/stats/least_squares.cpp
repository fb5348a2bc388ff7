#include "libmaturity/stats/least_squares.h"

#include <Eigen/QR>
#include <cmath>
#include <limits>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kDependent = 1e-14;

Eigen::MatrixXd design_of(const Eigen::MatrixXd& x, Eigen::Index rows, bool intercept) {
  const Eigen::Index first = intercept ? 1 : 0;
  Eigen::MatrixXd design(rows, x.cols() + first);
  if (intercept) {
    design.col(0).setOnes();
  }
  design.rightCols(x.cols()) = x;
  return design;
}

void check(const Eigen::MatrixXd& x, const Eigen::VectorXd& y, bool intercept) {
  if (x.rows() != y.size()) {
    reject_argument("x", std::to_string(x.rows()) + " rows", std::to_string(y.size()) + ", as y");
  }
  if (!x.allFinite() || !y.allFinite()) {
    reject_argument("x, y", "a value that is not finite", "finite numbers");
  }
  const Eigen::Index size = x.cols() + (intercept ? 1 : 0);
  if (size < 1 || y.size() < size) {
    reject_argument("y", std::to_string(y.size()) + " rows",
                    "at least as many as coefficients, " + std::to_string(size));
  }
}

}  // namespace

LeastSquaresFit fit_least_squares(const Eigen::MatrixXd& x, const Eigen::VectorXd& y,
                                  bool intercept) {
  check(x, y, intercept);
  Eigen::MatrixXd design = design_of(x, y.size(), intercept);
  const Eigen::Index n = design.rows();
  const Eigen::Index p = design.cols();
  const Eigen::VectorXd length = design.colwise().norm();
  for (Eigen::Index j = 0; j < p; ++j) {
    if (!(length[j] > 0.0)) {
      reject_argument("x, column " + std::to_string(j + 1), "all zero", "a column that varies");
    }
    design.col(j) /= length[j];
  }
  const Eigen::HouseholderQR<Eigen::MatrixXd> qr(design);
  const Eigen::MatrixXd r = qr.matrixQR().topRows(p).triangularView<Eigen::Upper>();
  if (r.diagonal().cwiseAbs().minCoeff() < kDependent) {
    reject_argument("x", "columns that depend on each other", "independent columns");
  }
  const auto upper = r.triangularView<Eigen::Upper>();
  LeastSquaresFit fit;
  const Eigen::VectorXd rotated = qr.householderQ().adjoint() * y;
  const Eigen::VectorXd scaled = upper.solve(rotated.head(p));
  fit.coefficients = scaled.cwiseQuotient(length);
  fit.residuals = y - design * scaled;
  fit.residual_sum_of_squares = fit.residuals.squaredNorm();
  const double centre = intercept ? y.mean() : 0.0;
  const double total = (y.array() - centre).square().sum();
  fit.model_sum_of_squares = (design * scaled - Eigen::VectorXd::Constant(n, centre)).squaredNorm();
  fit.r_squared = 1.0 - fit.residual_sum_of_squares / total;
  fit.model_degrees = static_cast<int>(p) - (intercept ? 1 : 0);
  fit.residual_degrees = static_cast<int>(n - p);

  const double variance = fit.residual_degrees > 0
                              ? fit.residual_sum_of_squares / fit.residual_degrees
                              : std::numeric_limits<double>::quiet_NaN();
  fit.residual_sd = std::sqrt(variance);
  fit.f_statistic = fit.model_sum_of_squares / fit.model_degrees / variance;
  const Eigen::MatrixXd inverse =
      length.cwiseInverse().asDiagonal() * upper.solve(Eigen::MatrixXd::Identity(p, p));
  fit.covariance = variance * (inverse * inverse.transpose());
  fit.standard_errors = fit.covariance.diagonal().cwiseSqrt();
  return fit;
}

}  // namespace maturity
