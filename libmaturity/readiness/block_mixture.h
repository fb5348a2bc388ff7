#pragma once

#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/grid_posterior.h"

namespace maturity {

/// What the mixture says about the block's mean and share. z is a normal quantile throughout: the
/// share of mature fruit is Phi(z) exactly when mean - z * spread = minimum.
class BlockMixture {
 public:
  BlockMixture(const std::vector<GridNode>& nodes, double minimum_dm_pct);

  MeanSd mean() const;
  /// Posterior quantile of the block's mean, %; probability within (0,1).
  double mean_quantile(double probability) const;
  /// P(mean >= minimum)
  double mean_reaches_minimum() const;

  /// P(share >= Phi(z))
  double share_at_least(double z) const;
  /// Posterior quantile of the share, 0..1; clips at Phi(-8) and Phi(8).
  double share_quantile(double probability) const;

  /// Of psi = mean - z * spread.
  MeanSd psi(double z) const;
  MeanSd spread() const;

 private:
  std::vector<GridNode> nodes_;
  double minimum_;
  /// Mean and SD over the nodes of (level - minimum)/spread: where to look for share quantiles.
  MeanSd typical_z_;
};

/// Normal distribution function, and its inverse for probabilities within (0,1).
double normal_cdf(double z);
double normal_quantile(double probability);

}  // namespace maturity
