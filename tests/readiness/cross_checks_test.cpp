#include "libmaturity/readiness/cross_checks.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

// t(0.975; 9) = 2.262157163 (standard table); mean and SD of the ten values by hand.
TEST(CrossChecks, PlainMeanIsStudentsInterval) {
  const BlockData data = cases::oven_only();
  const CrossChecks checks =
      cross_check(data, cases::options(), estimate_block(data, cases::rule(), cases::options()));
  const PlainMean plain = checks.plain_mean.value();
  EXPECT_NEAR(plain.mean, 16.29, 1e-12);
  const double sd = std::sqrt(9.169 / 9.0);
  EXPECT_NEAR(plain.se, sd / std::sqrt(10.0), 1e-12);
  EXPECT_NEAR(plain.interval.high - plain.mean, 2.262157163 * plain.se, 1e-9);
  EXPECT_FALSE(checks.two_phase_regression.has_value());
}

// k1 = 2.06567 for n = 10, share 0.90, confidence 0.90: COMPUTED x2 (noncentral t; R qt).
TEST(CrossChecks, ToleranceLimitUsesThePublishedFactor) {
  const BlockData data = cases::oven_only();
  const CrossChecks checks =
      cross_check(data, cases::options(), estimate_block(data, cases::rule(), cases::options()));
  const double sd = std::sqrt(9.169 / 9.0);
  EXPECT_NEAR(checks.tolerance_limit.value(), 16.29 - 2.06567 * sd, 1e-5);
  // The plain readiness is the confidence at which the limit would meet the minimum.
  BlockRule at_limit = cases::rule();
  at_limit.minimum_dm_pct = checks.tolerance_limit.value();
  const CrossChecks same =
      cross_check(data, cases::options(), estimate_block(data, at_limit, cases::options()));
  EXPECT_NEAR(same.plain_readiness.value(), 90.0, 1e-6);
}

/// Dry matter on a straight line in one shape; oven fruit from the upper half only.
BlockData picked_by_shape(double noise) {
  std::mt19937_64 engine(3);
  std::normal_distribution<double> normal;
  BlockData data;
  data.shape.resize(40, 1);
  for (int i = 0; i < 40; ++i) {
    data.shape(i, 0) = normal(engine);
    data.tree.push_back("t" + std::to_string(i / 2));
    const double truth = 15.0 + 2.0 * data.shape(i, 0) + noise * normal(engine);
    data.oven.push_back(data.shape(i, 0) > 0.0 ? truth : cases::kMissing);
  }
  return data;
}

// Exact shape: without noise the line is recovered whatever fruit were picked.
TEST(CrossChecks, TwoPhaseRegressionIsExactOnALine) {
  const BlockData data = picked_by_shape(0.0);
  const CrossChecks checks =
      cross_check(data, cases::options(), estimate_block(data, cases::rule(), cases::options()));
  const double mean_shape = data.shape.col(0).mean();
  EXPECT_NEAR(checks.two_phase_regression.value().mean, 15.0 + 2.0 * mean_shape, 1e-9);
  EXPECT_GT(checks.plain_mean.value().mean, 16.0);
}

TEST(CrossChecks, SelectionIsNamedWhereTheMeansPart) {
  const BlockData data = picked_by_shape(0.5);
  const BlockEstimate estimate = estimate_block(data, cases::rule(), cases::options());
  const CrossChecks checks = cross_check(data, cases::options(), estimate);
  ASSERT_TRUE(estimate.robust);
  EXPECT_NE(
      std::find(checks.disagreements.begin(), checks.disagreements.end(), Disagreement::selection),
      checks.disagreements.end());
  EXPECT_NEAR(checks.two_phase_regression->mean, *estimate.mean_dm_pct, 0.3);
}

TEST(CrossChecks, ClustersAreNamedWhereTheIntervalIsTooNarrow) {
  std::mt19937_64 engine(9);
  std::normal_distribution<double> normal;
  BlockData data;
  for (int tree = 0; tree < 6; ++tree) {
    const double level = 16.0 + 1.5 * normal(engine);
    for (int j = 0; j < 6; ++j) {
      data.tree.push_back("t" + std::to_string(tree));
      data.oven.push_back(level + 0.4 * normal(engine));
    }
  }
  const CrossChecks checks =
      cross_check(data, cases::options(), estimate_block(data, cases::rule(), cases::options()));
  ASSERT_EQ(checks.disagreements.size(), 1U);
  EXPECT_EQ(checks.disagreements[0], Disagreement::clusters);
}

TEST(CrossChecks, NothingToCheckGivesNothing) {
  const BlockData data = cases::meter_only();
  const CrossChecks checks =
      cross_check(data, cases::options(), estimate_block(data, cases::rule(), cases::options()));
  EXPECT_FALSE(checks.plain_mean.has_value());
  EXPECT_FALSE(checks.tolerance_limit.has_value());
  EXPECT_FALSE(checks.plain_readiness.has_value());
  EXPECT_TRUE(checks.disagreements.empty());
}

}  // namespace
}  // namespace maturity
