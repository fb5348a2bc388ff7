#pragma once

#include <Eigen/Core>
#include <vector>

#include "libmaturity/readiness/slope_nodes.h"
#include "libmaturity/readiness/tree_sums.h"

namespace maturity {

/// Prior mean of the block's level, %: mean of a published set of 11,691 readings 16.28, SD 2.46
/// (Anderson, Walsh and Subedi 2020, Mendeley Data 10.17632/46htwnp833, quoted at second hand); the
/// SD is doubled, so that it does not matter once one oven fruit exists.
inline constexpr double kLevelGuess = 16.0;
inline constexpr double kLevelGuessSd = 5.0;
/// Prior SD of a meter's bias, %: published new-season biases 0.16, 1, 1.25, 1.56, 2.36 (Subedi et
/// al. 2007; Walsh, Neupane and Li 2024) have a root mean square of 1.46.
inline constexpr double kMeterBiasSd = 1.5;

/// Normal posterior of phi = (level - kLevelGuess, slopes, meter biases) at one node of the grid.
/// Small matrices of fixed size, plain loops: thousands of nodes are solved per block.
class NodeSolver {
 public:
  /// At most 9 slopes (8 descriptors and the "has oven" column).
  /// meter_bias_sd: prior SD of the bias of each of the meters, %.
  NodeSolver(int slopes, int meters, double meter_bias_sd = kMeterBiasSd);

  /// Log of the probability density of the readings at this node, up to a constant that all nodes
  /// share. Keeps the factor for finish().
  double log_evidence(const VarianceTerms& terms, const SlopePrior& prior);

  /// Mean (P) and covariance (P,P) of phi for the node last given to log_evidence().
  void finish();
  const Eigen::VectorXd& mean() const { return mean_; }
  const Eigen::MatrixXd& covariance() const { return covariance_; }

 private:
  using Factor = double (*)(double* matrix, const double* right, double* solved);
  using Finish = void (*)(const double* factor, const double* solved, double* mean,
                          double* covariance);

  int slopes_;
  int meters_;
  double bias_precision_;
  double fixed_log_det_;
  Factor factor_;
  Finish finish_;
  Eigen::MatrixXd matrix_;
  Eigen::VectorXd right_;
  Eigen::VectorXd solved_;
  Eigen::VectorXd mean_;
  Eigen::MatrixXd covariance_;
};

}  // namespace maturity
