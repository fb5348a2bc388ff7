#pragma once

#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/decision.h"
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

bool has_flag(const BlockEstimate& estimate, BlockFlag flag);

/// What an estimate's rule, readings and flags say for deciding; `readiness` is 0 to 1. Whether the
/// selection is corrected and the shapes are inside the calibration is for the caller to add.
DecisionInput decision_input(const BlockEstimate& estimate, double readiness);

/// Decision and reasons of the estimate.
void settle(const DecisionInput& input, BlockEstimate& estimate);

}  // namespace maturity
