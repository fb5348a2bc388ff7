#pragma once

#include <vector>

#include "libmaturity/calibration/block_moments.h"

namespace maturity {

/// Slopes of dry matter on descriptors (in within-block standard deviations) that hold for the
/// average block, with what they vary between blocks.
struct BlockSlopes {
  /// Columns of the training's shape that the slopes belong to.
  std::vector<Eigen::Index> columns;
  Eigen::VectorXd slopes;
  /// Error of the average slopes (posterior under the ridge prior).
  Eigen::MatrixXd covariance;
  /// Variance of each slope between blocks as estimated by moments, and as used: drawn towards a
  /// planning guess (SD 0.3 of the root mean square slope) that weighs as much as two blocks, and
  /// widened by (k-1)/(k-3) for k >= 5 blocks (2 below), since few blocks tell little of a spread.
  double estimated_spread = 0.0;
  double spread = 0.0;
  /// Within-block variance of dry matter about the slopes, squared %.
  double residual_variance = 0.0;
};

/// Random-slopes regression within blocks: y - mean = X (b + u_j) + e, u_j ~ N(0, spread I), fitted
/// from block moments. `shape_share` within (0,1) sets the ridge: b ~ N(0, v I) with
/// v = share/((1-share) p) times the within-block variance, so shape explains that share a priori.
/// Spread by the moment estimator of DerSimonian and Laird, several coefficients (from memory). At
/// least one block and one column.
BlockSlopes fit_block_slopes(const std::vector<const BlockMoments*>& blocks,
                             const std::vector<Eigen::Index>& columns, double shape_share);

}  // namespace maturity
