#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/readiness/crop_share.h"
#include "libmaturity/readiness/grid_posterior.h"

namespace maturity {

/// A group's mean and spread, % dry matter.
struct Level {
  double mean = 0.0;
  double spread = 0.0;
};

/// The posterior of a group, drawn from at points of the unit cube.
class GroupDraws {
 public:
  GroupDraws(std::vector<GridNode> nodes, double minimum_dm_pct);

  /// u within (0,1) chooses the node; the others are standard normal.
  Level at(double u, double of_mean, double of_spread) const;

 private:
  std::vector<GridNode> nodes_;
  std::vector<double> cumulative_;
};

/// Quantiles of a beta variable: its logit, linear between knots of the normal score.
class BetaQuantiles {
 public:
  BetaQuantiles(double a, double b);
  /// At a normal score.
  double at(double z) const;

 private:
  std::vector<double> logit_;
};

/// Shares drawn from a Dirichlet by breaking the stick; the shares themselves where exact.
class ShareDraws {
 public:
  explicit ShareDraws(const CropShares& shares);
  /// Normal scores that a draw takes.
  std::size_t dimensions() const { return sticks_.size(); }
  std::vector<double> at(const double* z) const;

 private:
  std::vector<double> share_;
  std::vector<BetaQuantiles> sticks_;
};

}  // namespace maturity
