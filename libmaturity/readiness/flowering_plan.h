#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/readiness/flowering_estimate.h"
#include "libmaturity/readiness/more_samples.h"

namespace maturity {

/// What more to sample of one flowering; trees, photos and oven are additions.
struct FloweringAddition {
  std::string name;
  int trees = 0;
  int photos = 0;
  int oven = 0;
  /// Its part, 0..1, of the variance of what the rule asks of the block (psi, or the mean) as it is
  /// now; empty where the flowerings are not joined.
  std::optional<double> part;
};

/// What more to sample of a block whose flowerings are estimated apart.
struct FloweringPlan {
  /// Of the whole block: trees, photos and oven are the sums of those below.
  SamplePlan block;
  /// In the order of the estimate.
  std::vector<FloweringAddition> flowerings;
  /// The part of the variance that the shares of the crop have; with those of the flowerings 1.
  std::optional<double> crop_share_part;
  /// True: new trees of a flowering are drawn among its own. False: among all of the block, where
  /// the shares come from what was drawn at random, which trees of one flowering alone would make
  /// wrong; those of each flowering are then what to expect.
  bool drawn_apart = true;
};

/// Which flowering wants how many more trees, fruit on photos and oven readings.
///
/// First come the oven fruit and trees that a flowering lacks (outcome too_few_to_plan; none where
/// it is not fruit that keeps the flowerings from being joined). Then additions that settle the
/// rule with chance >= settle, at the least cost for what they take off the variance, step by step:
/// a new tree with 3 photos and 1, 2 or 3 oven readings, up to 60 in all, or an oven reading on a
/// fruit already photographed. `trees_left`, in the order of the estimate, is how many trees of
/// each were not sampled yet (empty: not known, as many as wanted); where none is left, fruit of
/// the trees that were sampled are added, each with a photo and an oven reading, up to 3 oven fruit
/// a tree in all. Each flowering's part of the variance (flowering_parts.h) shrinks as
/// planning_variance does (stratified sampling, Cochran 1977, from memory).
///
/// Throws std::invalid_argument for settle outside (0,1), costs that are negative or all 0, and
/// trees_left that are not one number of at least 0 for each flowering.
FloweringPlan more_samples(const JoinedEstimate& joined, const SamplingCosts& costs = {},
                           double settle = 0.5, const std::vector<int>& trees_left = {});

}  // namespace maturity
