#include "libmaturity/readiness/estimated_block.h"

#include <algorithm>

namespace maturity {

bool has_flag(const BlockEstimate& estimate, BlockFlag flag) {
  return std::find(estimate.flags.begin(), estimate.flags.end(), flag) != estimate.flags.end();
}

DecisionInput decision_input(const BlockEstimate& estimate, double readiness) {
  DecisionInput input;
  input.readiness = readiness;
  input.confidence = estimate.rule.confidence;
  input.oven_fruit = estimate.counts.oven_fruit;
  input.oven_trees = estimate.counts.oven_trees;
  input.trees = std::min(estimate.counts.trees, estimate.counts.phase_one_trees);
  input.left_skew = has_flag(estimate, BlockFlag::left_skew);
  return input;
}

void settle(const DecisionInput& input, BlockEstimate& estimate) {
  const DecisionResult result = decide(input);
  estimate.decision = result.decision;
  estimate.reasons = result.reasons;
}

}  // namespace maturity
