#include "libmaturity/calibration/block_slopes.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "libmaturity/calibration/slope_spread.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kGuessedSpread = 0.3;
constexpr double kRankTolerance = 1e-9;
constexpr double kTinyVariance = 1e-8;

struct Part {
  Eigen::MatrixXd xx;
  Eigen::VectorXd xy;
  double yy;
  int fruit;
};

std::vector<Part> parts_of(const std::vector<const BlockMoments*>& blocks,
                           const std::vector<Eigen::Index>& columns) {
  std::vector<Part> parts;
  parts.reserve(blocks.size());
  for (const BlockMoments* block : blocks) {
    parts.push_back({block->xx(columns, columns), block->xy(columns), block->yy, block->fruit});
  }
  return parts;
}

/// What a block's own slopes would explain of these cross products, and how many there are.
struct OwnFit {
  double explained = 0.0;
  int rank = 0;
};

OwnFit own_fit(const Eigen::MatrixXd& xx, const Eigen::VectorXd& xy) {
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(xx);
  const Eigen::VectorXd& values = solver.eigenvalues();
  const Eigen::VectorXd along = solver.eigenvectors().transpose() * xy;
  OwnFit fit;
  for (Eigen::Index i = 0; i < values.size(); ++i) {
    if (values[i] > kRankTolerance * std::max(1.0, values[values.size() - 1])) {
      fit.explained += along[i] * along[i] / values[i];
      ++fit.rank;
    }
  }
  return fit;
}

double moment_spread(const std::vector<Part>& parts, const Eigen::MatrixXd& xx,
                     const Eigen::VectorXd& pooled, double residual_variance) {
  double heterogeneity = 0.0;
  double ranks = 0.0;
  double traces = 0.0;
  Eigen::MatrixXd squares = Eigen::MatrixXd::Zero(xx.rows(), xx.cols());
  for (const Part& part : parts) {
    const OwnFit fit = own_fit(part.xx, part.xy - part.xx * pooled);
    heterogeneity += fit.explained;
    ranks += fit.rank;
    traces += part.xx.trace();
    squares += part.xx * part.xx;
  }
  const auto p = static_cast<double>(xx.rows());
  const double scale = traces - xx.ldlt().solve(squares).trace();
  const double excess = heterogeneity - residual_variance * (ranks - p);
  return scale > kRankTolerance * traces ? std::max(0.0, excess / scale) : 0.0;
}

}  // namespace

BlockSlopes fit_block_slopes(const std::vector<const BlockMoments*>& blocks,
                             const std::vector<Eigen::Index>& columns, double shape_share) {
  if (blocks.empty() || columns.empty()) {
    reject_argument("blocks, columns", 0, "at least one of each");
  }
  if (!(shape_share > 0.0 && shape_share < 1.0)) {
    reject_argument("shape_share", shape_share, "between 0 and 1, both excluded");
  }
  const std::vector<Part> parts = parts_of(blocks, columns);
  const auto p = static_cast<Eigen::Index>(columns.size());
  Eigen::MatrixXd xx = Eigen::MatrixXd::Zero(p, p);
  Eigen::VectorXd xy = Eigen::VectorXd::Zero(p);
  double yy = 0.0;
  double own_residual = 0.0;
  double degrees = 0.0;
  double own_degrees = 0.0;
  for (const Part& part : parts) {
    xx += part.xx;
    xy += part.xy;
    yy += part.yy;
    degrees += part.fruit - 1.0;
    const OwnFit fit = own_fit(part.xx, part.xy);
    own_residual += std::max(0.0, part.yy - fit.explained);
    own_degrees += std::max(0, part.fruit - 1 - fit.rank);
  }
  BlockSlopes result;
  result.columns = columns;
  const double total_variance = std::max(kTinyVariance, yy / degrees);
  const double ridge =
      shape_share / ((1.0 - shape_share) * static_cast<double>(p)) * total_variance;
  const Eigen::MatrixXd identity = Eigen::MatrixXd::Identity(p, p);
  // A first pass without spread gives the error that the spread is judged against.
  const Eigen::VectorXd pooled = (xx + total_variance / ridge * identity).ldlt().solve(xy);
  const double pooled_residual = yy - 2.0 * pooled.dot(xy) + pooled.dot(xx * pooled);
  result.residual_variance = std::max(
      kTinyVariance, own_degrees >= degrees / 2.0
                         ? own_residual / own_degrees
                         : pooled_residual / std::max(1.0, degrees - static_cast<double>(p)));
  const auto count = static_cast<double>(parts.size());
  result.estimated_spread =
      count > 1.0 ? moment_spread(parts, xx, pooled, result.residual_variance) : 0.0;
  const double guess =
      kGuessedSpread * kGuessedSpread * pooled.squaredNorm() / static_cast<double>(p);
  result.spread = spread_to_use(result.estimated_spread, guess, count);

  Eigen::MatrixXd information = identity / ridge;
  Eigen::VectorXd right = Eigen::VectorXd::Zero(p);
  for (const Part& part : parts) {
    const Eigen::LDLT<Eigen::MatrixXd> error(result.residual_variance * identity +
                                             result.spread * part.xx);
    information += error.solve(part.xx);
    right += error.solve(part.xy);
  }
  information = ((information + information.transpose()) / 2.0).eval();
  const Eigen::LDLT<Eigen::MatrixXd> solver(information);
  result.slopes = solver.solve(right);
  result.covariance = solver.solve(identity);
  return result;
}

}  // namespace maturity
