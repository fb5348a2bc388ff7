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

bool says(const CrossChecks& checks, Disagreement why) {
  return std::find(checks.disagreements.begin(), checks.disagreements.end(), why) !=
         checks.disagreements.end();
}

CrossChecks checks_of(const BlockData& data, double minimum = 15.0) {
  BlockRule rule = cases::rule();
  rule.minimum_dm_pct = minimum;
  return cross_check(data, cases::options(), estimate_block(data, rule, cases::options()));
}

/// One fruit a tree; the oven fruit lie `off` above the rest in dry matter, all metered with a
/// bias.
BlockData oven_fruit_off(double off) {
  BlockData data;
  for (int i = 0; i < 60; ++i) {
    const bool in_oven = i % 6 == 0;
    const double spread = -2.0 + 4.0 * ((i / 6 * 7 + 3 * (i % 6)) % 10) / 9.0;
    const double truth = 16.0 + 0.8 * spread + (in_oven ? off : 0.0);
    data.tree.push_back("t" + std::to_string(i));
    data.oven.push_back(in_oven ? truth : cases::kMissing);
    data.meter.push_back(truth + 1.5 + (i % 2 == 0 ? 0.3 : -0.3));
  }
  return data;
}

TEST(CrossChecks, MeterIsNamedWhereOtherFruitReadLower) {
  const CrossChecks checks = checks_of(oven_fruit_off(0.6));
  EXPECT_EQ(checks.disagreements, std::vector{Disagreement::meter});
  // Wrong on purpose: oven fruit like the rest differ from nothing.
  EXPECT_TRUE(checks_of(oven_fruit_off(0.0)).disagreements.empty());
}

/// Dry matter on a line in one shape; the shape of oven fruit lies `off` from that of the rest.
BlockData oven_shapes_off(double off) {
  BlockData data;
  data.shape.resize(80, 1);
  for (int i = 0; i < 80; ++i) {
    const bool in_oven = i % 4 == 0;
    const double shape = -1.6 + 3.2 * ((i / 4 * 3 + 5 * (i % 4)) % 20) / 19.0;
    data.shape(i, 0) = shape + (in_oven ? off : 0.0);
    data.tree.push_back("t" + std::to_string(i));
    const double truth = 16.0 + 1.5 * data.shape(i, 0) + (i % 8 < 4 ? 0.2 : -0.2);
    data.oven.push_back(in_oven ? truth : cases::kMissing);
  }
  return data;
}

TEST(CrossChecks, ShapeIsNamedWhereChanceGaveOtherShapesToTheOven) {
  const BlockData data = oven_shapes_off(0.45);
  ASSERT_FALSE(estimate_block(data, cases::rule(), cases::options()).robust);
  EXPECT_EQ(checks_of(data).disagreements, std::vector{Disagreement::shape});
  EXPECT_TRUE(checks_of(oven_shapes_off(0.0)).disagreements.empty());
}

TEST(CrossChecks, FewReadingsAreNamedWhereTheyAgreeByChance) {
  BlockData data;
  const double spread = 0.05;
  for (int i = 0; i < 5; ++i) {
    data.tree.push_back("t" + std::to_string(i));
    data.oven.push_back(15.4 + spread * (i - 2));
  }
  // Five values within 0.2 % make the plain figure sure; the estimate knows that fruit differ.
  const CrossChecks checks = checks_of(data);
  EXPECT_GT(checks.plain_readiness.value(), 90.0);
  EXPECT_EQ(checks.disagreements, std::vector{Disagreement::few_readings});
}

TEST(CrossChecks, EveryReasonHasNameAndSentence) {
  for (const Disagreement why :
       {Disagreement::clusters, Disagreement::selection, Disagreement::shape, Disagreement::meter,
        Disagreement::few_readings}) {
    EXPECT_GT(name(why).size(), 3U);
    EXPECT_GT(sentence(why).size(), 20U);
  }
  EXPECT_FALSE(says(checks_of(cases::oven_only()), Disagreement::selection));
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
