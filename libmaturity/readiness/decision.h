#pragma once

#include <vector>

#include "libmaturity/readiness/block_flags.h"

namespace maturity {

/// Fewest oven fruit, and trees with oven fruit, on which a block may be called ready.
inline constexpr int kFewestOvenFruit = 5;
inline constexpr int kFewestOvenTrees = 3;

/// What the decision looks at.
struct DecisionInput {
  /// 0..1
  double readiness = 0.0;
  double confidence = 0.9;
  int oven_fruit = 0;
  int oven_trees = 0;
  int trees = 0;
  bool selection_not_corrected = false;
  bool outside_calibration = false;
  bool left_skew = false;
  /// A flowering of the block lacks what it needs (see flowering_estimate.h).
  bool flowering_blocked = false;
};

struct DecisionResult {
  Decision decision = Decision::sample_more;
  std::vector<BlockReason> reasons;
};

/// Ready when readiness reaches the confidence and nothing blocks it; not yet when 1 - readiness
/// does; else sample more. A left tail, or a link to shape that bends down, asks for 5 points more
/// confidence. What blocks: no oven fruit, fewer than 5, fewer than 3 oven trees, one tree, picked
/// oven fruit that nothing corrects, shapes outside the calibration while no oven fruit exists,
/// flowerings that cannot be joined.
/// Clearance after spraying is not known here: who holds the spray record adds it.
DecisionResult decide(const DecisionInput& input);

/// What keeps "ready" back, whatever the readiness.
std::vector<BlockReason> what_blocks(const DecisionInput& input);

}  // namespace maturity
