#include "libmaturity/readiness/more_samples.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/normal.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

PlanningState worked_state() {
  PlanningState state;
  state.tree_variance = 0.29;
  state.fruit_variance = 1.17;
  state.shape_tree_variance = 0.09;
  state.shape_fruit_variance = 0.25;
  state.trees = 15;
  state.photographed = 45;
  state.oven = 15;
  state.margin = 0.35;
  state.sd = 0.45;
  state.share_z = normal_quantile(0.9);
  return state;
}

// COMPUTED by a prototype in another language.
TEST(MoreSamples, PlanningVarianceAndChanceMatchTheWorkedCase) {
  EXPECT_NEAR(planning_variance(worked_state(), 15, 45, 15), 0.179550, 1e-6);
  EXPECT_NEAR(chance_to_settle(0.35, 0.45, 0.30, 0.9), 0.473349, 1e-6);
}

void expect_plan(double margin, int trees, int photos, int oven, double cost, double p_settle) {
  PlanningState state = worked_state();
  state.margin = margin;
  const SamplePlan plan = more_samples(state);
  EXPECT_EQ(plan.outcome, PlanOutcome::plan);
  EXPECT_EQ(plan.trees, trees);
  EXPECT_EQ(plan.photos, photos);
  EXPECT_EQ(plan.oven, oven);
  EXPECT_NEAR(plan.cost, cost, 1e-9);
  EXPECT_NEAR(plan.p_settle.value(), p_settle, 1e-6);
}

// COMPUTED by a prototype in another language.
TEST(MoreSamples, CheapestPlansMatchTheWorkedCases) {
  expect_plan(0.35, 13, 39, 26, 227.5, 0.501343);
  expect_plan(0.5, 0, 0, 8, 48.0, 0.509279);
  expect_plan(-0.5, 0, 0, 8, 48.0, 0.509279);
  expect_plan(0.0, 33, 99, 66, 577.5, 0.504521);
}

// Slow plain twin: draw tomorrow's posterior mean, count how often it settles.
TEST(MoreSamples, ChanceMatchesCountingDraws) {
  const double movement = std::sqrt(0.45 * 0.45 - 0.30 * 0.30);
  const double reach = normal_quantile(0.9) * 0.30;
  int settled = 0;
  constexpr int kDraws = 200000;
  for (int i = 0; i < kDraws; ++i) {
    const double drawn = 0.35 + movement * normal_quantile((i + 0.5) / kDraws);
    settled += std::abs(drawn) >= reach ? 1 : 0;
  }
  EXPECT_NEAR(static_cast<double>(settled) / kDraws, 0.473349, 2e-5);
}

// Known special case: no shape, no share part, one oven fruit a tree = the variance of a mean.
TEST(MoreSamples, PlanningVarianceOfAPlainMeanIsSigmaSquareOverTrees) {
  PlanningState state = worked_state();
  state.shape_tree_variance = state.shape_fruit_variance = 0.0;
  state.share_z = 0.0;
  EXPECT_NEAR(planning_variance(state, 20, 20, 20), (0.29 + 1.17) / 20.0, 1e-12);
}

TEST(MoreSamples, SaysWhenNothingWithinReachSettles) {
  PlanningState state = worked_state();
  state.margin = 0.0;
  const SamplePlan plan = more_samples(state, {}, 0.95);
  EXPECT_EQ(plan.outcome, PlanOutcome::cannot_settle);
  EXPECT_LT(plan.p_settle.value(), 0.95);
  EXPECT_GT(plan.p_settle.value(), 0.5);
}

TEST(MoreSamples, FollowsTheEstimate) {
  const BlockEstimate open = estimate_block(cases::oven_only(), cases::rule(), cases::options());
  ASSERT_EQ(open.decision, Decision::sample_more);
  const SamplePlan plan = more_samples(open);
  EXPECT_NE(plan.outcome, PlanOutcome::settled);
  EXPECT_LT(plan.sd_after.value(), open.psi_sd.value());

  const BlockEstimate few = estimate_block(cases::three_oven(), cases::rule(), cases::options());
  EXPECT_EQ(more_samples(few).outcome, PlanOutcome::too_few_to_plan);
  BlockRule low = cases::rule();
  low.minimum_dm_pct = 10.0;
  EXPECT_EQ(more_samples(estimate_block(cases::oven_only(), low, cases::options())).outcome,
            PlanOutcome::settled);
}

TEST(MoreSamples, BadInputIsNamed) {
  const PlanningState state = worked_state();
  EXPECT_THAT([&] { more_samples(state, {}, 1.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("settle: 1")));
  EXPECT_THAT(
      [&] {
        more_samples(state, {-1.0, 0.5, 6.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("costs: -1")));
  EXPECT_THAT([&] { planning_variance(state, 5, 5, 1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("oven: 1")));
}

}  // namespace
}  // namespace maturity
