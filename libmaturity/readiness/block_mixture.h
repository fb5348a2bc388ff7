#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/grid_posterior.h"

namespace maturity {

/// What the mixture says about the block's mean and share. z is a normal quantile throughout: the
/// share of mature fruit is Phi(z) exactly when mean - z * spread = minimum.
class BlockMixture {
 public:
  BlockMixture(std::vector<GridNode> nodes, double minimum_dm_pct);

  MeanSd mean() const { return mean_; }
  /// Posterior quantile of the block's mean, %; probability within (0,1).
  double mean_quantile(double probability) const;
  /// P(mean >= minimum), within [0,1].
  double mean_reaches_minimum() const;

  /// P(share >= Phi(z)), within [0,1].
  double share_at_least(double z) const;
  /// Posterior quantile of the share, 0..1; clips at Phi(-8) and Phi(8).
  double share_quantile(double probability) const;

  /// Of psi = mean - z * spread.
  MeanSd psi(double z) const;
  MeanSd spread() const;

 private:
  /// P(mean < x) and P(share >= Phi(z)) over the first `count` nodes.
  double mean_below(double x, std::size_t count) const;
  double share_at_least(double z, std::size_t count) const;
  std::size_t all() const { return nodes_.size(); }

  /// Heavy nodes first: a root is found among them, then settled among all.
  std::vector<GridNode> nodes_;
  std::size_t heavy_ = 0;
  double heavy_weight_ = 0.0;
  double minimum_;
  MeanSd mean_;
  /// Mean and SD over the nodes of (level - minimum)/spread: where to look for share quantiles.
  MeanSd typical_z_;
};

}  // namespace maturity
