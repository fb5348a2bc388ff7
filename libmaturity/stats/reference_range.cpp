#include "libmaturity/stats/reference_range.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kMeanWithin = 0.99;
constexpr double kMemberWithin = 0.999;
constexpr double kMostBeyond = 0.1;

void check_sizes(const ReferenceRange& range, const Eigen::MatrixXd& sample) {
  const Eigen::Index p = range.mean.size();
  if (range.covariance.rows() != p || range.covariance.cols() != p || sample.cols() != p ||
      sample.rows() < 1 || !sample.allFinite()) {
    reject_argument("sample", std::to_string(sample.rows()) + " x " + std::to_string(sample.cols()),
                    "finite rows of the " + std::to_string(p) + " variables of the range");
  }
}

}  // namespace

RangeComparison compare_with_range(const ReferenceRange& range, const Eigen::MatrixXd& sample) {
  check_sizes(range, sample);
  const Eigen::LLT<Eigen::MatrixXd> factor(range.covariance);
  if (factor.info() != Eigen::Success) {
    reject_argument("covariance", "not positive definite", "a covariance");
  }
  const boost::math::chi_squared distribution(static_cast<double>(range.mean.size()));
  const double member_limit = boost::math::quantile(distribution, kMemberWithin);
  const auto square_of = [&](const Eigen::VectorXd& off) { return off.dot(factor.solve(off)); };
  RangeComparison result;
  for (Eigen::Index i = 0; i < sample.rows(); ++i) {
    const Eigen::VectorXd off = sample.row(i).transpose() - range.mean;
    result.share_beyond += square_of(off) > member_limit ? 1.0 : 0.0;
  }
  result.share_beyond /= static_cast<double>(sample.rows());
  const Eigen::VectorXd off = sample.colwise().mean().transpose() - range.mean;
  const double limit = boost::math::quantile(distribution, kMeanWithin);
  const double square = square_of(off);
  result.distance = std::sqrt(square);
  result.limit = std::sqrt(limit);
  result.off_sd = off.cwiseQuotient(range.covariance.diagonal().cwiseSqrt());
  result.outside = square > limit || result.share_beyond > kMostBeyond;
  return result;
}

std::vector<double> distances_to_groups(const std::vector<ReferenceRange>& groups,
                                        const Eigen::MatrixXd& sample) {
  Eigen::MatrixXd within = Eigen::MatrixXd::Zero(sample.cols(), sample.cols());
  double free = 0.0;
  for (const ReferenceRange& group : groups) {
    check_sizes(group, sample);
    within += (group.members - 1.0) * group.covariance;
    free += group.members - 1.0;
  }
  const Eigen::LLT<Eigen::MatrixXd> factor(within / std::max(1.0, free));
  std::vector<double> distances;
  if (free < 1.0 || factor.info() != Eigen::Success) {
    return distances;
  }
  const Eigen::VectorXd mean = sample.colwise().mean();
  for (const ReferenceRange& group : groups) {
    const Eigen::VectorXd off = mean - group.mean;
    distances.push_back(std::sqrt(off.dot(factor.solve(off))));
  }
  return distances;
}

ReferenceRange range_of(const std::string& group, const Eigen::MatrixXd& sample) {
  ReferenceRange range;
  range.group = group;
  range.members = static_cast<int>(sample.rows());
  range.mean = sample.colwise().mean();
  const Eigen::MatrixXd centred = sample.rowwise() - range.mean.transpose();
  range.covariance =
      centred.transpose() * centred / std::max(1.0, static_cast<double>(sample.rows()) - 1.0);
  return range;
}

}  // namespace maturity
