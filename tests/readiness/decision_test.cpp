#include "libmaturity/readiness/decision.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/residual_skewness.h"
#include "libmaturity/stats/normal.h"
#include "tests/readiness/block_cases.h"

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

// Residuals of a parabola about its line, with noise: found where both ends fall away, not where
// they rise, not on a straight line, and not in 19 fruit.
TEST(BendsDown, FindsALinkThatFallsAwayAndNoOther) {
  constexpr int kBlocks = 200;
  std::mt19937_64 engine(3);
  std::normal_distribution<double> normal;
  const auto found = [&](double curve, int fruit) {
    int count = 0;
    for (int block = 0; block < kBlocks; ++block) {
      std::vector<double> expected;
      std::vector<double> residual;
      for (int i = 0; i < fruit; ++i) {
        const double u = normal(engine);
        expected.push_back(16.0 + u);
        residual.push_back(-curve * (u * u - 1.0) + normal(engine));
        expected.push_back(14.0);  // a fruit that is not in the oven
        residual.push_back(std::numeric_limits<double>::quiet_NaN());
      }
      count += bends_down(expected, residual) ? 1 : 0;
    }
    return count;
  };
  EXPECT_GT(found(0.5, 30), 0.6 * kBlocks);
  EXPECT_EQ(found(-0.5, 30), 0);
  EXPECT_LE(found(0.0, 30), 0.04 * kBlocks);
  EXPECT_EQ(found(0.5, 19), 0);
  EXPECT_FALSE(bends_down(std::vector<double>(30, 16.0), std::vector<double>(30, 0.1)));
}

TEST(BendsDown, FlagsTheBlockEstimate) {
  std::mt19937_64 engine(4);
  std::normal_distribution<double> normal;
  BlockData bent;
  bent.shape.resize(60, 1);
  for (int i = 0; i < 60; ++i) {
    const double u = normal(engine);
    bent.shape(i, 0) = u;
    bent.tree.push_back("t" + std::to_string(i / 2));
    bent.oven.push_back(17.0 + u - 0.5 * u * u + 0.5 * normal(engine));
  }
  BlockData straight = bent;
  for (std::size_t i = 0; i < bent.oven.size(); ++i) {
    const double u = bent.shape(static_cast<Eigen::Index>(i), 0);
    straight.oven[i] += 0.5 * u * u;
  }
  const auto flagged = [](const BlockData& data) {
    return cases::has(estimate_block(data, cases::rule()), BlockFlag::left_skew);
  };
  EXPECT_TRUE(flagged(bent));
  EXPECT_FALSE(flagged(straight));
}

/// 40 trees of one oven fruit, every third `behind`; normal quantiles in both groups.
BlockData humps(double behind, int trees) {
  BlockData data;
  for (int i = 0; i < trees; ++i) {
    const double u = std::fmod(0.5 + 0.6180339887 * i, 1.0);
    data.tree.push_back("t" + std::to_string(i));
    data.oven.push_back(17.0 + 0.8 * normal_quantile(u) - (i % 3 == 0 ? behind : 0.0));
  }
  return data;
}

// From 30 oven fruit of 15 trees on, and only where there are two groups.
TEST(TwoHumps, FlagsTheBlockEstimateAndBlocksNothing) {
  const auto flagged = [](const BlockData& data) {
    return cases::has(estimate_block(data, cases::rule()), BlockFlag::two_humps);
  };
  EXPECT_TRUE(flagged(humps(4.0, 40)));
  EXPECT_FALSE(flagged(humps(0.0, 40)));
  EXPECT_FALSE(flagged(humps(4.0, 29)));
  BlockData few_trees = humps(4.0, 40);
  for (std::size_t i = 0; i < few_trees.tree.size(); ++i) {
    few_trees.tree[i] = "t" + std::to_string(i / 3);
  }
  EXPECT_FALSE(flagged(few_trees));
  // By meter: 60 readings at least.
  BlockData metered = humps(4.0, 80);
  metered.meter = metered.oven;
  for (std::size_t i = 10; i < metered.oven.size(); ++i) {
    metered.oven[i] = cases::kMissing;
  }
  EXPECT_TRUE(flagged(metered));
  // Far above the minimum it is ready all the same: a flag, no block.
  BlockData high = humps(4.0, 40);
  for (double& oven : high.oven) {
    oven += 6.0;
  }
  const BlockEstimate ready = estimate_block(high, cases::rule());
  EXPECT_TRUE(cases::has(ready, BlockFlag::two_humps));
  EXPECT_EQ(ready.decision, Decision::ready);
}

}  // namespace
}  // namespace maturity
