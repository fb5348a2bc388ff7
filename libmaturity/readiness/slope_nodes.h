#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

namespace maturity {

/// Slopes that a calibration expects, per standardised unit of this block.
struct ExpectedSlopes {
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;
};

/// One component of the mixture prior of the slopes.
struct SlopeNode {
  /// Plain node: shape explains this share of the variance a priori, slopes centred on 0.
  double explained = 0.0;
  /// Calibration node: slopes centred on the calibration's, with this much extra freedom.
  bool calibrated = false;
  double freedom = 0.0;
  double log_weight = 0.0;
};

/// The mixture. Plain: explained 0, 0.15, 0.35, 0.55, 0.75 with weights 0.3, 0.2, 0.2, 0.2, 0.1 (a
/// planning guess: no published value of the link was found). Robust (oven fruit picked): the one
/// near-flat node 0.98. With a calibration the plain part weighs 0.4 and two nodes of 0.3 are
/// centred on it. p = 0: one empty node.
std::vector<SlopeNode> slope_nodes(Eigen::Index p, bool robust, bool calibrated);

/// Normal prior of the slopes at one node and sigma, in the form the solver needs.
struct SlopePrior {
  Eigen::MatrixXd precision;
  Eigen::VectorXd precision_mean;
  /// mean' precision mean
  double mean_square = 0.0;
  double log_det_precision = 0.0;
};

/// `expected` must be given for a calibration node. p >= 0 slopes.
SlopePrior slope_prior(const SlopeNode& node, Eigen::Index p, double sigma,
                       const std::optional<ExpectedSlopes>& expected);

}  // namespace maturity
