#include "libmaturity/readiness/decision.h"

#include <algorithm>

namespace maturity {

namespace {

constexpr double kSkewPenalty = 0.05;
constexpr double kMostConfidence = 0.999;

}  // namespace

std::vector<BlockReason> what_blocks(const DecisionInput& input) {
  std::vector<BlockReason> blocks;
  if (input.oven_fruit == 0) {
    blocks.push_back(BlockReason::no_oven_fruit);
  } else if (input.oven_fruit < kFewestOvenFruit) {
    blocks.push_back(BlockReason::few_oven_fruit);
  }
  if (input.oven_fruit > 0 && input.oven_trees < kFewestOvenTrees) {
    blocks.push_back(BlockReason::few_oven_trees);
  }
  if (input.trees == 1) {
    blocks.push_back(BlockReason::one_tree);
  }
  if (input.selection_not_corrected) {
    blocks.push_back(BlockReason::selection_not_corrected);
  }
  if (input.outside_calibration && input.oven_fruit == 0) {
    blocks.push_back(BlockReason::outside_calibration_without_oven);
  }
  if (input.flowering_blocked) {
    blocks.push_back(BlockReason::flowering_blocked);
  }
  return blocks;
}

DecisionResult decide(const DecisionInput& input) {
  const double asked =
      input.left_skew
          ? std::max(input.confidence, std::min(input.confidence + kSkewPenalty, kMostConfidence))
          : input.confidence;
  if (input.readiness <= 1.0 - input.confidence) {
    return {Decision::not_yet, {BlockReason::rule_not_met}};
  }
  if (input.readiness < asked) {
    DecisionResult result{Decision::sample_more, {BlockReason::not_settled}};
    if (input.left_skew && input.readiness >= input.confidence) {
      result.reasons.push_back(BlockReason::left_skew);
    }
    return result;
  }
  std::vector<BlockReason> blocks = what_blocks(input);
  if (!blocks.empty()) {
    return {Decision::sample_more, blocks};
  }
  return {Decision::ready, {BlockReason::rule_met}};
}

}  // namespace maturity
