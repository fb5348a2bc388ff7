#include "libmaturity/readiness/calibration_range.h"

#include <Eigen/Cholesky>
#include <boost/math/distributions/chi_squared.hpp>
#include <cstddef>
#include <stdexcept>

namespace maturity {

namespace {

constexpr double kMeanWithin = 0.99;
constexpr double kFruitWithin = 0.999;
constexpr double kMostFruitBeyond = 0.1;

}  // namespace

bool outside_calibration(const CalibrationSlopes& calibration, const Eigen::MatrixXd& raw,
                         const std::vector<bool>& member) {
  if (calibration.shape_mean.size() == 0) {
    return false;
  }
  const Eigen::LLT<Eigen::MatrixXd> factor(calibration.shape_covariance);
  if (factor.info() != Eigen::Success) {
    throw std::invalid_argument(
        "calibration.shape_covariance is not positive definite; a covariance is expected");
  }
  const boost::math::chi_squared distribution(static_cast<double>(raw.cols()));
  const double fruit_limit = boost::math::quantile(distribution, kFruitWithin);
  const auto distance = [&](const Eigen::VectorXd& shape) {
    const Eigen::VectorXd off = shape - calibration.shape_mean;
    return off.dot(factor.solve(off));
  };
  Eigen::VectorXd mean = Eigen::VectorXd::Zero(raw.cols());
  double n = 0.0;
  double beyond = 0.0;
  for (std::size_t i = 0; i < member.size(); ++i) {
    if (member[i]) {
      const Eigen::VectorXd shape = raw.row(static_cast<Eigen::Index>(i)).transpose();
      mean += shape;
      n += 1.0;
      beyond += distance(shape) > fruit_limit ? 1.0 : 0.0;
    }
  }
  return n > 0.0 && (distance(mean / n) > boost::math::quantile(distribution, kMeanWithin) ||
                     beyond > kMostFruitBeyond * n);
}

}  // namespace maturity
