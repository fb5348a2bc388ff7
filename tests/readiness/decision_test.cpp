#include "libmaturity/readiness/decision.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "libmaturity/readiness/residual_skewness.h"

namespace maturity {
namespace {

using testing::ElementsAre;

DecisionInput sound(double readiness) {
  DecisionInput input;
  input.readiness = readiness;
  input.oven_fruit = 10;
  input.oven_trees = 8;
  input.trees = 10;
  return input;
}

TEST(Decision, FollowsTheConfidence) {
  EXPECT_EQ(decide(sound(0.90)).decision, Decision::ready);
  EXPECT_EQ(decide(sound(0.8999)).decision, Decision::sample_more);
  EXPECT_EQ(decide(sound(0.1001)).decision, Decision::sample_more);
  EXPECT_EQ(decide(sound(0.09)).decision, Decision::not_yet);
}

TEST(Decision, EachBlockKeepsReadyBack) {
  DecisionInput input = sound(0.99);
  input.oven_fruit = 4;
  EXPECT_THAT(decide(input).reasons, ElementsAre(BlockReason::few_oven_fruit));
  input = sound(0.99);
  input.oven_trees = 2;
  EXPECT_THAT(decide(input).reasons, ElementsAre(BlockReason::few_oven_trees));
  input = sound(0.99);
  input.oven_fruit = 0;
  input.outside_calibration = true;
  EXPECT_THAT(decide(input).reasons, ElementsAre(BlockReason::no_oven_fruit,
                                                 BlockReason::outside_calibration_without_oven));
  input = sound(0.99);
  input.selection_not_corrected = true;
  EXPECT_THAT(decide(input).reasons, ElementsAre(BlockReason::selection_not_corrected));
  EXPECT_EQ(decide(input).decision, Decision::sample_more);
  // Not yet needs none of them.
  input.readiness = 0.01;
  EXPECT_EQ(decide(input).decision, Decision::not_yet);
}

TEST(Decision, LeftTailAsksFivePointsMore) {
  DecisionInput input = sound(0.94);
  input.left_skew = true;
  EXPECT_THAT(decide(input).reasons, ElementsAre(BlockReason::not_settled, BlockReason::left_skew));
  input.readiness = 0.951;
  EXPECT_EQ(decide(input).decision, Decision::ready);
}

// 1, 2, 6 lie -2, -1, 3 from their mean: m2 = 14/3, m3 = 18/3.
TEST(ResidualSkewness, MatchesHandArithmetic) {
  EXPECT_NEAR(skewness({1.0, 2.0, std::nan(""), 6.0}).value(), 6.0 / std::pow(14.0 / 3.0, 1.5),
              1e-12);
  EXPECT_FALSE(skewness({1.0, 2.0}).has_value());
  EXPECT_FALSE(skewness({2.0, 2.0, 2.0}).has_value());
  EXPECT_TRUE(leans_left(-1.3, 20));
  EXPECT_FALSE(leans_left(-1.3, 19));
  EXPECT_FALSE(leans_left(-1.2, 20));
  EXPECT_FALSE(leans_left(std::nullopt, 30));
}

}  // namespace
}  // namespace maturity
