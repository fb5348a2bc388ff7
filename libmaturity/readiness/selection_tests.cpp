#include "libmaturity/readiness/selection_tests.h"

#include <Eigen/Cholesky>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstddef>
#include <iterator>

namespace maturity {

namespace {

constexpr double kRidge = 1e-6;
constexpr std::ptrdiff_t kFewestOven = 3;

struct Moments {
  double mean = 0.0;
  double variance_of_mean = 0.0;
  double n = 0.0;
};

Moments moments(const std::vector<double>& values) {
  Moments result;
  result.n = static_cast<double>(values.size());
  for (const double value : values) {
    result.mean += value / result.n;
  }
  for (const double value : values) {
    result.variance_of_mean +=
        (value - result.mean) * (value - result.mean) / (result.n - 1.0) / result.n;
  }
  return result;
}

}  // namespace

std::optional<double> selection_by_shape(const PhaseOne& phase_one, const std::vector<bool>& oven) {
  const Eigen::Index p = phase_one.x.cols();
  Eigen::VectorXd difference = Eigen::VectorXd::Zero(p);
  double n2 = 0.0;
  for (std::size_t i = 0; i < oven.size(); ++i) {
    if (oven[i]) {
      difference += phase_one.x.row(static_cast<Eigen::Index>(i)).transpose();
      n2 += 1.0;
    }
  }
  const double n1 = phase_one.fruit;
  if (p == 0 || n2 == 0.0 || n2 >= n1 || n1 <= static_cast<double>(p) + 2.0) {
    return std::nullopt;
  }
  difference /= n2;
  const Eigen::MatrixXd covariance =
      phase_one.between_fruit + kRidge * Eigen::MatrixXd::Identity(p, p);
  const double distance =
      difference.dot(covariance.llt().solve(difference)) / (1.0 / n2 - 1.0 / n1);
  const boost::math::chi_squared distribution(static_cast<double>(p));
  return boost::math::cdf(boost::math::complement(distribution, distance));
}

std::optional<double> selection_by_meter(const std::vector<double>& oven,
                                         const std::vector<double>& meter) {
  std::vector<double> of_oven_fruit;
  std::vector<double> of_others;
  for (std::size_t i = 0; i < meter.size(); ++i) {
    if (!std::isnan(meter[i])) {
      const bool in_oven = i < oven.size() && !std::isnan(oven[i]);
      (in_oven ? of_oven_fruit : of_others).push_back(meter[i]);
    }
  }
  if (std::ssize(of_oven_fruit) < kFewestOven || std::ssize(of_others) < kFewestMeterOnly) {
    return std::nullopt;
  }
  const Moments a = moments(of_oven_fruit);
  const Moments b = moments(of_others);
  const double variance = a.variance_of_mean + b.variance_of_mean;
  if (variance <= 0.0) {
    return std::nullopt;
  }
  const double freedom = variance * variance /
                         (a.variance_of_mean * a.variance_of_mean / (a.n - 1.0) +
                          b.variance_of_mean * b.variance_of_mean / (b.n - 1.0));
  const double t = std::abs(a.mean - b.mean) / std::sqrt(variance);
  return 2.0 * boost::math::cdf(boost::math::complement(boost::math::students_t(freedom), t));
}

}  // namespace maturity
