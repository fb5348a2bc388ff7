#include "libmaturity/field/walk_size.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <stdexcept>
#include <utility>

#include "libmaturity/stats/two_stage.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr double kZ95 = 1.959963985;

/// Illustrative variances of the two-stage check values: 0.36 between trees, 1.44 within.
WalkVariances worked() {
  WalkVariances variances;
  variances.tree_variance = 0.36;
  variances.fruit_variance = 1.44;
  return variances;
}

WalkLimits fixed_fruit(int fruit) {
  WalkLimits limits;
  limits.fruit_low = limits.fruit_high = fruit;
  limits.oven_high = fruit;
  return limits;
}

// Rule `mean`, every fruit dried: two-stage sampling. COMPUTED by two routes (formula; full
// covariance matrix).
TEST(WalkError, WorkedTwoStageDesigns) {
  EXPECT_NEAR(walk_error(worked(), 10, 2, 2), 0.32863353, 1e-8);
  EXPECT_NEAR(walk_error(worked(), 10, 5, 5), 0.25455844, 1e-8);
  EXPECT_NEAR(walk_error(worked(), 20, 2, 2), 0.232379, 1e-6);
  EXPECT_NEAR(walk_error(worked(), 30, 1, 1), 0.24494897, 1e-8);
}

// The same numbers give 14 trees for an error of 0.25 with three fruit each (13.44, rounded up).
TEST(WalkForError, WorkedNumberOfTrees) {
  SamplingCosts costs{10.0, 0.0, 1.0};
  WalkLimits limits = fixed_fruit(3);
  const WalkDesign design = walk_for_error(worked(), costs, limits, 0.25 * kZ95);
  EXPECT_TRUE(design.reached);
  EXPECT_EQ(design.trees, 14);
  EXPECT_EQ(design.oven_per_tree, 3);
}

// Best fruit per tree at a cost ratio of 10 and intraclass correlation 0.2: 6.32 unrounded. With
// every fruit dried, the search must land on 6, where the formula's cost is least in whole numbers.
TEST(WalkForError, FruitPerTreeIsThatOfTheCostFormula) {
  WalkLimits limits;
  limits.trees_high = 400;
  limits.fruit_high = limits.oven_high = 12;
  const WalkDesign design = walk_for_error(worked(), {10.0, 0.0, 1.0}, limits, 0.1 * kZ95);
  EXPECT_NEAR(design.oven_per_tree, best_fruit_per_tree(10.0, 0.2), 0.75);
}

TEST(WalkForError, CheapestOfAllThatReachIt) {
  WalkVariances variances = worked();
  variances.share_z = 1.2816;
  variances.shape_fruit_variance = 0.5;
  const SamplingCosts costs;
  const WalkLimits limits;
  const WalkDesign design = walk_for_error(variances, costs, limits, 0.7);
  ASSERT_TRUE(design.reached);
  EXPECT_LE(kZ95 * design.standard_error, 0.7 + 1e-9);
  // Slow plain twin.
  for (int trees = limits.trees_low; trees <= limits.trees_high; ++trees) {
    for (int fruit = 1; fruit <= 6; ++fruit) {
      for (int oven = 1; oven <= std::min(3, fruit); ++oven) {
        if (kZ95 * walk_error(variances, trees, fruit, oven) <= 0.7) {
          EXPECT_GE(trees * (costs.tree + fruit * costs.photo + oven * costs.oven),
                    design.cost - 1e-9);
        }
      }
    }
  }
}

TEST(WalkForError, OutOfReachIsSaidWithTheBestThereIs) {
  WalkLimits limits = fixed_fruit(2);
  limits.trees_high = 10;
  const WalkDesign design = walk_for_error(worked(), {}, limits, 0.1);
  EXPECT_FALSE(design.reached);
  EXPECT_EQ(design.trees, 10);
  EXPECT_GT(kZ95 * design.standard_error, 0.1);
}

// A block that ripens in a trend: half the variance between trees saves trees.
TEST(WalkForError, BalanceSavesTrees) {
  WalkVariances trend;
  trend.tree_variance = 1.2;
  trend.fruit_variance = 0.4;
  const WalkDesign random = walk_for_error(trend, {}, fixed_fruit(1), 0.5);
  trend.balance = 0.5;
  const WalkDesign balanced = walk_for_error(trend, {}, fixed_fruit(1), 0.5);
  EXPECT_LT(balanced.trees, 0.7 * random.trees);
}

// Independent route: simulate the walk.
TEST(ClearDecision, ChanceAgreesWithSimulation) {
  std::mt19937_64 engine(77);
  std::normal_distribution<double> normal;
  for (const ExpectedMargin& margin :
       {ExpectedMargin{0.6, 0.4, 0.9}, ExpectedMargin{-0.2, 0.3, 0.95}}) {
    constexpr double kError = 0.35;
    const double reach = kError * (margin.confidence == 0.9 ? 1.281551566 : 1.644853627);
    int clear = 0;
    constexpr int kRuns = 40000;
    for (int run = 0; run < kRuns; ++run) {
      const double seen = margin.margin + margin.sd * normal(engine) + kError * normal(engine);
      clear += std::abs(seen) >= reach ? 1 : 0;
    }
    EXPECT_NEAR(chance_of_clear_decision(margin, kError), clear / static_cast<double>(kRuns), 0.01);
  }
}

TEST(WalkForDecision, ReachesTheChanceAskedForAtTheLeastCost) {
  WalkVariances variances = worked();
  variances.share_z = 1.2816;
  const ExpectedMargin margin{0.9, 0.3, 0.9};
  const WalkDesign design = walk_for_decision(variances, {}, fixed_fruit(3), 0.7, margin);
  ASSERT_TRUE(design.reached);
  EXPECT_GE(design.p_clear.value(), 0.7);
  const WalkDesign fewer =
      walk_design(variances, {}, margin, design.trees - 1, 3, design.oven_per_tree);
  EXPECT_LT(fewer.p_clear.value(), 0.7);
  // A block at its limit cannot be made clear by any walk: known error only, 20 in 100.
  const WalkDesign at_limit =
      walk_for_decision(variances, {}, fixed_fruit(3), 0.7, {0.0, 0.01, 0.9});
  EXPECT_FALSE(at_limit.reached);
  EXPECT_LT(at_limit.p_clear.value(), 0.25);
}

TEST(WalkSize, BadInputIsNamed) {
  WalkVariances none;
  EXPECT_THAT([&] { walk_error(none, 3, 2, 1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("variances")));
  EXPECT_THAT([] { walk_error(worked(), 3, 1, 2); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("oven_per_tree: 2")));
  EXPECT_THAT([] { walk_error(worked(), 1, 1, 1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("at least 2 oven fruit")));
  WalkVariances wrong = worked();
  wrong.balance = 1.5;
  EXPECT_THAT([&] { walk_error(wrong, 3, 1, 1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("balance: 1.5")));
  EXPECT_THAT([] { walk_for_error(worked(), {}, {}, 0.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("half_width: 0")));
  WalkLimits few;
  few.trees_high = 2;
  EXPECT_THAT([&] { walk_for_error(worked(), {}, few, 0.5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("trees: 2")));
  EXPECT_THAT([] { walk_for_decision(worked(), {}, {}, 80.0, {}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("wanted: 80")));
}

}  // namespace
TEST(ClearDecision, WalksTooSmallForReadyHaveNoReadyPartInTheirChance) {
  WalkVariances variances;
  variances.tree_variance = 0.4;
  variances.fruit_variance = 1.2;
  const SamplingCosts costs;
  // A block far above its minimum: nothing but ready is likely.
  const ExpectedMargin margin{4.0, 0.3, 0.9};
  for (const auto& [trees, oven] : {std::pair{2, 3}, {4, 1}}) {
    EXPECT_FALSE(may_say_ready(trees, oven));
    EXPECT_LT(walk_design(variances, costs, margin, trees, 3, oven).p_clear.value(), 0.001);
  }
  for (const auto& [trees, oven] : {std::pair{3, 2}, {5, 1}}) {
    EXPECT_TRUE(may_say_ready(trees, oven));
    EXPECT_GT(walk_design(variances, costs, margin, trees, 3, oven).p_clear.value(), 0.9);
  }
}

}  // namespace maturity
