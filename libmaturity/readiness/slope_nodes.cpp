#include "libmaturity/readiness/slope_nodes.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <array>
#include <cmath>

namespace maturity {

namespace {

constexpr std::array<double, 5> kExplained{0.0, 0.15, 0.35, 0.55, 0.75};
constexpr std::array<double, 5> kPlainWeight{0.3, 0.2, 0.2, 0.2, 0.1};
constexpr double kNearFlat = 0.98;
constexpr double kPlainPart = 0.4;
constexpr double kCalibratedWeight = 0.3;
constexpr std::array<double, 2> kFreedom{0.02, 0.15};
// Keeps the prior of "no slope" proper.
constexpr double kSmallestSlopeShare = 1e-8;

}  // namespace

std::vector<SlopeNode> slope_nodes(Eigen::Index p, bool robust, bool calibrated) {
  if (p == 0) {
    return {SlopeNode{}};
  }
  const double plain = calibrated ? kPlainPart : 1.0;
  std::vector<SlopeNode> nodes;
  if (robust) {
    nodes.push_back({kNearFlat, false, 0.0, std::log(plain)});
  } else {
    for (std::size_t i = 0; i < kExplained.size(); ++i) {
      nodes.push_back({kExplained.at(i), false, 0.0, std::log(plain * kPlainWeight.at(i))});
    }
  }
  if (calibrated) {
    for (const double freedom : kFreedom) {
      nodes.push_back({0.0, true, freedom, std::log(kCalibratedWeight)});
    }
  }
  return nodes;
}

SlopePrior slope_prior(const SlopeNode& node, Eigen::Index p, double sigma,
                       const std::optional<ExpectedSlopes>& expected) {
  SlopePrior prior;
  const auto count = static_cast<double>(p);
  prior.precision_mean = Eigen::VectorXd::Zero(p);
  if (!node.calibrated) {
    const double share =
        p == 0 ? 1.0
               : std::max(kSmallestSlopeShare, node.explained / ((1.0 - node.explained) * count));
    const double precision = 1.0 / (share * sigma * sigma);
    prior.precision = precision * Eigen::MatrixXd::Identity(p, p);
    prior.log_det_precision = count * std::log(precision);
    return prior;
  }
  const Eigen::MatrixXd covariance =
      expected.value().covariance +
      node.freedom * sigma * sigma / count * Eigen::MatrixXd::Identity(p, p);
  const Eigen::LLT<Eigen::MatrixXd> factor(covariance);
  prior.precision = factor.solve(Eigen::MatrixXd::Identity(p, p));
  prior.precision_mean = prior.precision * expected->mean;
  prior.mean_square = expected->mean.dot(prior.precision_mean);
  prior.log_det_precision = -2.0 * Eigen::MatrixXd(factor.matrixL()).diagonal().array().log().sum();
  return prior;
}

}  // namespace maturity
