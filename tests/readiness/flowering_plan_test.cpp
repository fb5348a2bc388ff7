#include "libmaturity/readiness/flowering_plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "libmaturity/readiness/flowering_parts.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

/// Trees of an early and of a late flowering, an oven fruit of each; by default both crops counted.
struct PlannedBlock {
  int early = 20;
  int late = 6;
  double behind = 1.0;
  bool counted = true;
  RuleKind rule = RuleKind::share;
  double minimum = 15.5;

  JoinedEstimate estimate() const {
    constexpr std::array<double, 7> kSpread{-1.6, 1.1, -0.5, 0.4, -1.0, 1.7, -0.1};
    BlockData data;
    Flowerings flowerings;
    flowerings.names = {"early", "late"};
    for (int t = 0; t < early + late; ++t) {
      const bool is_late = t >= early;
      data.tree.push_back("t" + std::to_string(t));
      data.oven.push_back(17.6 + kSpread.at(static_cast<std::size_t>(t % 7)) -
                          (is_late ? behind : 0.0));
      flowerings.of_fruit.emplace_back(is_late ? "late" : "early");
      if (counted) {
        flowerings.of_tree.push_back(flowerings.of_fruit.back());
        // The crop is half and half, however many trees were sampled.
        flowerings.crop.push_back(is_late ? 1000.0 / late : 1000.0 / early);
      }
    }
    BlockRule asked = cases::rule();
    asked.kind = rule;
    asked.minimum_dm_pct = minimum;
    return estimate_flowerings(data, flowerings, asked);
  }
};

TEST(FloweringPlan, PartsMakeTheVarianceOfPsi) {
  for (const double behind : {0.3, 1.0, 2.0}) {
    for (const bool counted : {true, false}) {
      PlannedBlock block;
      block.behind = behind;
      block.counted = counted;
      const JoinedEstimate joined = block.estimate();
      ASSERT_TRUE(joined.joined);
      const double exact = *joined.block.psi_sd * *joined.block.psi_sd;
      EXPECT_NEAR(flowering_parts(joined).total() / exact, 1.0, 0.1) << behind << " " << counted;
    }
  }
}

TEST(FloweringPlan, PartsMakeTheVarianceOfTheMean) {
  PlannedBlock block;
  block.rule = RuleKind::mean;
  const JoinedEstimate joined = block.estimate();
  const double exact = *joined.block.mean_dm_sd * *joined.block.mean_dm_sd;
  const FloweringParts parts = flowering_parts(joined);
  EXPECT_NEAR(parts.total() / exact, 1.0, 0.01);
  // Stratified sampling: half of the crop with its own mean's error (Cochran 1977, from memory).
  const double late = *joined.flowerings[1].estimate.mean_dm_sd;
  EXPECT_NEAR(parts.of_flowering[1].variance, 0.25 * late * late, 1e-3);
}

TEST(FloweringPlan, TheOneWithFewFruitWantsMore) {
  const PlannedBlock block;
  const JoinedEstimate joined = block.estimate();
  ASSERT_EQ(joined.block.decision, Decision::sample_more);
  const FloweringPlan plan = more_samples(joined);
  ASSERT_EQ(plan.block.outcome, PlanOutcome::plan);
  EXPECT_TRUE(plan.drawn_apart);
  EXPECT_GT(*plan.flowerings[1].part, 0.7);
  EXPECT_GT(plan.flowerings[1].oven, 3 * std::max(1, plan.flowerings[0].oven));
  EXPECT_EQ(plan.block.oven, plan.flowerings[0].oven + plan.flowerings[1].oven);
  EXPECT_NEAR(*plan.flowerings[0].part + *plan.flowerings[1].part + *plan.crop_share_part, 1.0,
              1e-9);
  // With the samples the other way round the other one does.
  PlannedBlock turned;
  turned.early = 6;
  turned.late = 20;
  turned.behind = -1.0;
  EXPECT_GT(*more_samples(turned.estimate()).flowerings[0].part, 0.7);
}

// Slow plain twin: every number of trees of either with 1 to 3 oven readings each, the cheapest
// that settles. Wrong on purpose: as many trees drawn from one crop leave the late one short.
TEST(FloweringPlan, StepsComeCloseToTheCheapest) {
  const JoinedEstimate joined = PlannedBlock().estimate();
  const FloweringPlan plan = more_samples(joined);
  const FloweringParts parts = flowering_parts(joined);
  const double margin = *joined.block.psi_mean - joined.block.rule.minimum_dm_pct;
  const auto chance = [&](int early, int late, int oven) {
    const double after = parts.crop_shares + parts.of_flowering[0].after(early, 3 * early, early) +
                         parts.of_flowering[1].after(late, 3 * late, oven * late);
    return chance_to_settle(margin, *joined.block.psi_sd,
                            *joined.block.psi_sd * std::sqrt(after / parts.total()),
                            joined.block.rule.confidence);
  };
  double cheapest = 1e9;
  for (int early = 0; early <= kMostNewTrees; ++early) {
    for (int late = 0; early + late <= kMostNewTrees; ++late) {
      for (int oven = 1; oven <= kMostOvenPerTree; ++oven) {
        if (chance(early, late, oven) >= 0.5) {
          const SamplingCosts costs;
          cheapest = std::min(cheapest, (costs.tree + 3 * costs.photo) * (early + late) +
                                            costs.oven * (early + oven * late));
        }
      }
    }
  }
  EXPECT_LT(plan.block.cost, 1.15 * cheapest);
  const int late_by_chance = static_cast<int>(std::lround(plan.block.trees * 6.0 / 26.0));
  EXPECT_LT(chance(plan.block.trees - late_by_chance, late_by_chance, 1),
            *plan.block.p_settle - 0.02);
}

// Close to the confidence the normal curve may call settled what the draws do not: still a plan.
TEST(FloweringPlan, APlanAlwaysAddsSomething) {
  int plans = 0;
  int near = 0;
  for (int step = 0; step < 200; ++step) {
    PlannedBlock block;
    block.late = 12;
    block.minimum = 14.0 + 0.01 * step;
    const JoinedEstimate joined = block.estimate();
    if (joined.block.decision != Decision::sample_more) {
      continue;
    }
    const double margin = *joined.block.psi_mean - block.minimum;
    const double sd = *joined.block.psi_sd;
    near += chance_to_settle(margin, sd, sd, joined.block.rule.confidence) == 1.0 ? 1 : 0;
    const FloweringPlan plan = more_samples(joined);
    plans += plan.block.outcome == PlanOutcome::plan ? 1 : 0;
    EXPECT_TRUE(plan.block.outcome != PlanOutcome::plan || plan.block.oven > 0) << block.minimum;
  }
  EXPECT_GT(plans, 10);
  EXPECT_GT(near, 0);
}

// No tree is asked for that is not there: then fruit of the trees already sampled.
TEST(FloweringPlan, NoMoreTreesThanThereAre) {
  PlannedBlock block;
  block.late = 12;
  block.minimum = 15.1;
  const JoinedEstimate joined = block.estimate();
  const FloweringPlan any = more_samples(joined);
  ASSERT_EQ(any.block.outcome, PlanOutcome::plan);
  ASSERT_GT(any.flowerings[1].trees, 2);
  const FloweringPlan two = more_samples(joined, {}, 0.5, {60, 2});
  ASSERT_EQ(two.block.outcome, PlanOutcome::plan);
  EXPECT_EQ(two.flowerings[1].trees, 2);
  EXPECT_GT(two.flowerings[1].photos, 2 * kPhotosPerTree);
  // Fruit of the same trees are alike: more of them are needed, and of too few trees all are too
  // few.
  EXPECT_LT(any.block.oven, two.block.oven);
  const FloweringPlan none = more_samples(joined, {}, 0.5, {0, 0});
  EXPECT_EQ(none.block.outcome, PlanOutcome::cannot_settle);
  EXPECT_EQ(none.block.trees, 0);
  EXPECT_EQ(none.flowerings[1].oven, 12 * (kMostOvenPerTree - 1));
  EXPECT_EQ(more_samples(joined, {}, 0.5, {60, 60}).block.cost, any.block.cost);
  block.counted = false;
  const JoinedEstimate drawn = block.estimate();
  EXPECT_LE(more_samples(drawn, {}, 0.99, {2, 3}).block.trees, 5);
  EXPECT_EQ(more_samples(drawn, {}, 0.99, {0, 0}).block.trees, 0);
  EXPECT_THAT([&] { more_samples(joined, {}, 0.5, {1}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("trees_left")));
  EXPECT_THAT(
      [&] {
        more_samples(joined, {}, 0.5, {1, -1});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("trees_left: -1")));
}

// Trees of one flowering alone would make shares from the sample wrong: trees of the whole block.
TEST(FloweringPlan, SharesFromTheSampleWantTreesOfTheWholeBlock) {
  PlannedBlock block;
  block.counted = false;
  block.late = 12;
  const FloweringPlan plan = more_samples(block.estimate());
  EXPECT_FALSE(plan.drawn_apart);
  ASSERT_GT(plan.block.trees, 0);
  EXPECT_NEAR(plan.flowerings[0].trees, plan.block.trees * 20.0 / 32.0, 0.51);
  EXPECT_NEAR(plan.flowerings[1].trees, plan.block.trees * 12.0 / 32.0, 0.51);
  JoinedEstimate some = PlannedBlock().estimate();
  some.crop_share_source = CropShareSource::counted_on_some;
  EXPECT_FALSE(more_samples(some).drawn_apart);
}

TEST(FloweringPlan, WhatOneLacksComesFirst) {
  PlannedBlock block;
  block.late = 2;
  block.minimum = 14.0;
  const JoinedEstimate joined = block.estimate();
  ASSERT_EQ(joined.block.decision, Decision::sample_more);
  const FloweringPlan plan = more_samples(joined);
  EXPECT_EQ(plan.block.outcome, PlanOutcome::too_few_to_plan);
  EXPECT_EQ(plan.flowerings[0].oven, 0);
  EXPECT_EQ(plan.flowerings[1].trees, 1);
  EXPECT_EQ(plan.flowerings[1].oven, 3);
}

TEST(FloweringPlan, NothingToPlan) {
  PlannedBlock block;
  block.minimum = 10.0;
  EXPECT_EQ(more_samples(block.estimate()).block.outcome, PlanOutcome::settled);
  const JoinedEstimate joined = PlannedBlock().estimate();
  EXPECT_THAT([&] { more_samples(joined, {}, 0.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("settle")));
  EXPECT_THAT(
      [&] {
        more_samples(joined, {0.0, 0.0, 0.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("costs")));
  // Steps that cost nothing end all the same.
  EXPECT_GT(*more_samples(joined, {1.0, 0.0, 0.0}, 0.99).block.p_settle, 0.0);
}

}  // namespace
}  // namespace maturity
