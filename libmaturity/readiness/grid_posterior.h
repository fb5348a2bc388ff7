#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "libmaturity/readiness/node_solver.h"
#include "libmaturity/readiness/slope_nodes.h"
#include "libmaturity/readiness/tree_sums.h"
#include "libmaturity/readiness/variance_grid.h"

namespace maturity {

/// Guess of a further meter's error SD, %, and SD of its logarithm. Its error moves on the grid
/// with that of the first meter: a node for each would multiply the nodes by 5 to 7.
struct MeterErrorGuess {
  double sd = kMeterSdGuess;
  double log_sd = kMeterSdGuessLogSd;
};

/// What the model is fitted to, and its priors.
struct GridModel {
  ModelRows rows;
  /// Between-fruit covariance of the standardised shape (p,p) and sampling covariance of its mean.
  Eigen::MatrixXd between_fruit;
  Eigen::MatrixXd of_the_mean;
  /// Fruit behind `between_fruit`.
  int phase_one_fruit = 0;
  std::vector<VariancePoint> variances;
  std::vector<SlopeNode> slope_nodes;
  std::optional<ExpectedSlopes> expected;
  double oven_variance = 0.0;
  double meter_bias_sd = kMeterBiasSd;
  /// Of rows.further_meters.
  std::vector<MeterErrorGuess> further_errors = {};
  /// Nodes lighter than this share of the heaviest are dropped; 0 keeps all.
  double drop_below = 0.0;
};

/// The block at one node of the grid: mean dry matter ~ N(level, level_var), spread between fruit
/// ~ N(spread, spread_var) (delta method), and their covariance.
struct GridNode {
  int variance = 0;
  int slope = 0;
  /// Weights of all nodes sum to 1.
  double weight = 0.0;
  double level = 0.0;
  double level_var = 0.0;
  double spread = 0.0;
  double spread_var = 0.0;
  double covariance = 0.0;
  /// Expected square of the spread.
  double spread_square = 0.0;
};

/// The posterior as a finite mixture.
struct GridPosterior {
  std::vector<GridNode> nodes;
  /// Log of the sum of the weights before they were made to sum to 1: the model's evidence, up to a
  /// constant that models of the same readings share.
  double log_evidence = 0.0;
  /// Posterior mean of phi (P) over the mixture (level less kLevelGuess), and its SD (P).
  Eigen::VectorXd phi;
  Eigen::VectorXd phi_sd;
};

/// The variances of the model at a point of the grid.
ErrorVariances error_variances(const GridModel& model, const VariancePoint& point);

/// Weighs every node of variances x slope_nodes. At least one reading is needed.
GridPosterior grid_posterior(const GridModel& model, const TreeSums& sums);

/// Priors of the slopes for every (sigma, slope node): index sigma * nodes + node.
std::vector<SlopePrior> slope_priors(const GridModel& model);

}  // namespace maturity
