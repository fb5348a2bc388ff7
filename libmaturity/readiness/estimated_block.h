#pragma once

#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/grid_posterior.h"

namespace maturity {

/// An estimate with what stands behind it, for whoever joins several.
struct EstimatedBlock {
  BlockEstimate estimate;
  /// Its posterior; empty where no fruit was read.
  std::vector<GridNode> nodes;
  /// What keeps "ready" back, whatever the readiness.
  std::vector<BlockReason> blocks;
};

/// As estimate_block, whose result is the first field.
EstimatedBlock estimate_with_posterior(const BlockData& data, const BlockRule& rule,
                                       const BlockOptions& options = {});

}  // namespace maturity
