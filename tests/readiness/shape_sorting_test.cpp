#include "libmaturity/readiness/shape_sorting.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <stdexcept>
#include <string>

#include "libmaturity/stats/normal.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

constexpr double kMinimum = 15.0;

TEST(ShareBelowAmongTaken, IsSheppardsAtTheMeans) {
  // P(s > 0, y < 0) = 1/4 - asin(r)/(2 pi) for correlation r (Sheppard 1899, from memory).
  for (const double r : {-0.9, -0.3, 0.0, 0.2, 0.7, 0.95}) {
    const double joint = 0.25 - std::asin(r) / (2.0 * std::numbers::pi);
    EXPECT_NEAR(share_below_among_taken(0.0, 0.0, r), joint / 0.5, 1e-6) << r;
  }
}

TEST(ShareBelowAmongTaken, IsThePlainShareWithoutCorrelationOrWhenAllAreTaken) {
  for (const double below : {-1.5, 0.0, 0.8}) {
    EXPECT_NEAR(share_below_among_taken(below, 1.2, 0.0), normal_cdf(below), 1e-7);
    EXPECT_NEAR(share_below_among_taken(below, -8.0, 0.6), normal_cdf(below), 1e-6);
  }
  // More of the fruit below the limit are left behind the better shape tells.
  EXPECT_LT(share_below_among_taken(-1.0, 0.0, 0.6), share_below_among_taken(-1.0, 0.0, 0.3));
}

/// A block with known slope: y = 16 + slope x + tree + rest, SD of dry matter 1.3.
struct DrawnBlock {
  BlockData data;
  double slope = 0.0;
  double level = 16.0;
  double rest = 0.0;
};

DrawnBlock draw_block(unsigned seed, double r, int trees = 12, int fruit = 5) {
  std::mt19937 engine(seed);
  std::normal_distribution<double> normal;
  DrawnBlock block;
  block.slope = 1.3 * r;
  block.rest = 1.3 * std::sqrt(1.0 - r * r);
  block.data.shape.resize(static_cast<Eigen::Index>(trees) * fruit, 1);
  Eigen::Index row = 0;
  for (int tree = 0; tree < trees; ++tree) {
    const double effect = block.rest * std::sqrt(0.2) * normal(engine);
    for (int i = 0; i < fruit; ++i, ++row) {
      const double x = normal(engine);
      block.data.shape(row, 0) = x;
      block.data.tree.push_back(std::to_string(tree));
      block.data.oven.push_back(block.level + block.slope * x + effect +
                                block.rest * std::sqrt(0.8) * normal(engine));
    }
  }
  return block;
}

/// True share of immature fruit among those with x above a cut, in the block drawn.
double true_share(const DrawnBlock& block, double x_cut) {
  const double sd = std::hypot(block.slope, block.rest);
  return share_below_among_taken((kMinimum - block.level) / sd, x_cut, block.slope / sd);
}

BlockRule minimum_rule() {
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  return rule;
}

TEST(SortByShape, IntervalsHoldTheTruthAsOftenAsTheySay) {
  constexpr int kBlocks = 120;
  int inside = 0;
  int inside_without_slope = 0;
  int correlation_inside = 0;
  int taken_inside = 0;
  int taken_inside_narrow = 0;
  for (unsigned seed = 1; seed <= kBlocks; ++seed) {
    const DrawnBlock block = draw_block(seed, 0.6);
    const ShapeSorting scores = sort_by_shape(block.data, minimum_rule(), {}, {});
    // Where x is 0.3 the score is known from two fruit: the score is linear in x.
    const double x0 = block.data.shape(0, 0);
    const double x1 = block.data.shape(1, 0);
    const double s0 = scores.shape_dm_pct[0].value();
    const double s1 = scores.shape_dm_pct[1].value();
    const double cut = s0 + (0.3 - x0) * (s1 - s0) / (x1 - x0);
    const ShapeSorting sorting = sort_by_shape(block.data, minimum_rule(), {}, {cut});
    const double truth = true_share(block, 0.3);
    const Interval interval = sorting.cuts.at(0).immature_taken.interval;
    inside += interval.low <= truth && truth <= interval.high ? 1 : 0;
    // Wrong on purpose: the fruit taken are no better than all.
    const Interval blind = sorting.cuts.at(0).immature_blind.interval;
    inside_without_slope += blind.low <= truth && truth <= blind.high ? 1 : 0;
    const Interval r = sorting.correlation_interval.value();
    correlation_inside += r.low <= 0.6 && 0.6 <= r.high ? 1 : 0;
    const ShapeCut& made = sorting.cuts.at(0);
    EXPECT_NEAR(made.taken, 0.38, 0.2);
    const double taken = normal_cdf(-0.3);
    taken_inside += made.taken_interval.low <= taken && taken <= made.taken_interval.high ? 1 : 0;
    // Wrong on purpose: a tenth of the width.
    taken_inside_narrow +=
        std::abs(made.taken - taken) * 10.0 <= made.taken_interval.high - made.taken ? 1 : 0;
  }
  // 95 of 100 with a binomial error of 2: 0.89 is three errors below.
  EXPECT_GE(inside, 0.89 * kBlocks);
  EXPECT_LT(inside_without_slope, 0.5 * kBlocks);
  EXPECT_GE(correlation_inside, 0.89 * kBlocks);
  EXPECT_GE(taken_inside, 0.89 * kBlocks);
  EXPECT_LT(taken_inside_narrow, 0.5 * kBlocks);
}

TEST(SortByShape, SaysUsefulWhereItIsAndNotWhereItIsNot) {
  // 0.8 is the chance that the picking guide asks for.
  constexpr double kEnough = 0.8;
  int useful = 0;
  int false_alarms = 0;
  int false_alarms_of_few = 0;
  constexpr int kBlocks = 100;
  for (unsigned seed = 1; seed <= kBlocks; ++seed) {
    const auto says_useful = [&](double r, int trees, int fruit) {
      const DrawnBlock block = draw_block(1000 + seed, r, trees, fruit);
      return sort_by_shape(block.data, minimum_rule(), {}, {}).p_useful.value() >= kEnough ? 1 : 0;
    };
    useful += says_useful(0.7, 12, 5);
    false_alarms += says_useful(0.0, 12, 5);
    false_alarms_of_few += says_useful(0.0, 8, 3);
  }
  EXPECT_GE(useful, 90);
  // Below 1 in 20 with its binomial error.
  EXPECT_LE(false_alarms, 5);
  EXPECT_LE(false_alarms_of_few, 7);
  RecordProperty("false_alarms_of_100", false_alarms);
  RecordProperty("false_alarms_of_few_of_100", false_alarms_of_few);
}

TEST(SortByShape, EmptyWhereShapeIsNotUsed) {
  const ShapeSorting none = sort_by_shape(cases::oven_only(), minimum_rule(), {}, {15.0});
  EXPECT_FALSE(none.correlation.has_value());
  EXPECT_TRUE(none.cuts.empty());
  BlockOptions picked;
  picked.picked_on_purpose = true;
  const ShapeSorting robust =
      sort_by_shape(draw_block(1, 0.6).data, minimum_rule(), picked, {15.0});
  EXPECT_FALSE(robust.p_useful.has_value());
}

TEST(SortByShape, RejectsACutThatIsNoNumber) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THROW(sort_by_shape(draw_block(1, 0.6).data, minimum_rule(), {}, {nan}),
               std::invalid_argument);
}

}  // namespace
}  // namespace maturity
