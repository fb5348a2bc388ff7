// What the estimate does at its edges: every odd input has a value with a flag, or a named error.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "libmaturity/readiness/block_estimate.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

/// k trees of 3 fruit, the first of each in the oven; p shapes; seeded.
BlockData invented(int trees, int p, bool metered = false, double slope = 0.8) {
  std::mt19937_64 engine(11);
  std::normal_distribution<double> normal;
  BlockData data;
  data.shape.resize(Eigen::Index{3} * trees, p);
  for (int i = 0; i < 3 * trees; ++i) {
    for (int j = 0; j < p; ++j) {
      data.shape(i, j) = normal(engine);
    }
    const double truth = 17.0 + (p > 0 ? slope * data.shape(i, 0) : 0.0) + normal(engine);
    data.tree.push_back("t" + std::to_string(i / 3));
    data.oven.push_back(i % 3 == 0 ? truth : cases::kMissing);
    data.meter.push_back(metered ? truth + 1.0 + normal(engine) : cases::kMissing);
  }
  return data;
}

TEST(BlockEdges, NoDryMatterGivesNoNumbers) {
  BlockData data = invented(6, 2);
  data.oven.assign(data.oven.size(), cases::kMissing);
  const BlockEstimate block = estimate_block(data, cases::rule());
  EXPECT_FALSE(block.mean_dm_pct.has_value());
  EXPECT_FALSE(block.share_mature.has_value());
  EXPECT_FALSE(block.readiness.has_value());
  EXPECT_FALSE(block.fruit.at(0).mean_dm_pct.has_value());
  EXPECT_EQ(block.decision, Decision::sample_more);
  EXPECT_TRUE(cases::has(block, BlockFlag::no_dry_matter));
  EXPECT_TRUE(cases::has(block, BlockReason::no_dry_matter));
}

TEST(BlockEdges, OneTreeIsNeverReady) {
  BlockData data = cases::oven_only();
  data.tree.assign(data.tree.size(), "only");
  BlockRule rule = cases::rule();
  rule.minimum_dm_pct = 10.0;
  const BlockEstimate block = estimate_block(data, rule);
  EXPECT_GT(block.readiness.value(), 99.0);
  EXPECT_EQ(block.decision, Decision::sample_more);
  EXPECT_TRUE(cases::has(block, BlockFlag::one_tree));
  EXPECT_TRUE(cases::has(block, BlockReason::one_tree));
  EXPECT_TRUE(cases::has(block, BlockReason::few_oven_trees));
}

TEST(BlockEdges, OneFruitPerTreeIsLegal) {
  BlockData data = cases::oven_only();
  for (std::size_t i = 0; i < data.tree.size(); ++i) {
    data.tree[i] = "t" + std::to_string(i);
  }
  const BlockEstimate block = estimate_block(data, cases::rule());
  EXPECT_GT(block.mean_dm_sd.value(), 0.3);
  EXPECT_LT(block.mean_dm_sd.value(), 0.6);
}

TEST(BlockEdges, OnWithoutShapesIsTheEstimateWithoutShape) {
  BlockData data = cases::oven_only();
  data.shape.resize(0, 0);
  data.meter.clear();
  const BlockEstimate block = estimate_block(data, cases::rule(), cases::options());
  EXPECT_NEAR(block.mean_dm_pct.value(), 16.287900, 2e-5);
  EXPECT_TRUE(cases::has(block, BlockFlag::no_shape));
}

TEST(BlockEdges, AutomaticLeavesShapeOutBelowFifteenReadings) {
  BlockOptions automatic;
  const BlockEstimate few = estimate_block(invented(14, 2), cases::rule(), automatic);
  EXPECT_TRUE(cases::has(few, BlockFlag::shape_needs_more_readings));
  EXPECT_TRUE(few.slopes.empty());
  const BlockEstimate enough = estimate_block(invented(15, 2), cases::rule(), automatic);
  EXPECT_FALSE(cases::has(enough, BlockFlag::shape_needs_more_readings));
  EXPECT_EQ(enough.slopes.size(), 2U);
  automatic.picked_on_purpose = true;
  EXPECT_EQ(estimate_block(invented(14, 2), cases::rule(), automatic).slopes.size(), 2U);
  automatic.use_shape = UseShape::off;
  const BlockEstimate off = estimate_block(invented(15, 2), cases::rule(), automatic);
  EXPECT_TRUE(cases::has(off, BlockFlag::shape_switched_off));
  EXPECT_TRUE(off.slopes.empty());
}

TEST(BlockEdges, TooManyDescriptorsOrTooFewFruitRefuseShape) {
  EXPECT_TRUE(cases::has(estimate_block(invented(15, 9), cases::rule(), cases::options()),
                         BlockFlag::shape_refused));
  EXPECT_FALSE(cases::has(estimate_block(invented(15, 8), cases::rule(), cases::options()),
                          BlockFlag::shape_refused));
  // 6 photographed fruit, 4 descriptors.
  EXPECT_TRUE(cases::has(estimate_block(invented(2, 4), cases::rule(), cases::options()),
                         BlockFlag::shape_refused));
}

TEST(BlockEdges, ConstantDescriptorIsDroppedAndNamed) {
  BlockData data = cases::two_shapes();
  data.shape.conservativeResize(Eigen::NoChange, 3);
  data.shape.col(2).setConstant(0.7);
  BlockOptions options = cases::options();
  options.descriptor_names = {"a", "b", "flat"};
  const BlockEstimate block = estimate_block(data, cases::rule(), options);
  EXPECT_TRUE(cases::has(block, BlockFlag::constant_descriptor));
  EXPECT_THAT(block.dropped_descriptors, testing::ElementsAre("flat"));
  EXPECT_NEAR(block.mean_dm_pct.value(), 17.856849, 2e-5);
}

TEST(BlockEdges, CollinearDescriptorsAreLegal) {
  BlockData data = cases::two_shapes();
  data.shape.conservativeResize(Eigen::NoChange, 3);
  data.shape.col(2) = 2.0 * data.shape.col(0) - data.shape.col(1);
  const BlockEstimate block = estimate_block(data, cases::rule(), cases::options());
  EXPECT_TRUE(std::isfinite(block.readiness.value()));
  EXPECT_NEAR(block.mean_dm_pct.value(), 17.857, 0.1);
}

TEST(BlockEdges, FruitWithoutPhotoAreLeftOutAndCounted) {
  BlockData data = invented(20, 2);
  data.shape.row(0).setConstant(cases::kMissing);
  data.shape(4, 1) = cases::kMissing;
  const BlockEstimate block = estimate_block(data, cases::rule(), cases::options());
  EXPECT_TRUE(cases::has(block, BlockFlag::fruit_without_photo_left_out));
  EXPECT_TRUE(cases::has(block, BlockFlag::incomplete_shape));
  EXPECT_EQ(block.counts.left_out_without_photo, 1);
  EXPECT_EQ(block.counts.fruit, 58);
  EXPECT_FALSE(block.fruit.at(0).mean_dm_pct.has_value());
  EXPECT_TRUE(block.fruit.at(1).mean_dm_pct.has_value());
}

TEST(BlockEdges, ManyReadingsWithoutPhotoTurnShapeOff) {
  BlockData data = invented(20, 2);
  for (int tree = 0; tree < 5; ++tree) {
    data.shape.row(Eigen::Index{3} * tree).setConstant(cases::kMissing);
  }
  const BlockEstimate block = estimate_block(data, cases::rule(), cases::options());
  EXPECT_TRUE(cases::has(block, BlockFlag::photos_missing));
  EXPECT_EQ(block.counts.oven_fruit, 20);
  EXPECT_TRUE(block.slopes.empty());
}

TEST(BlockEdges, OvenFruitPickedByShapeAreFoundAndPutRight) {
  BlockData data = invented(30, 1, false, 1.5);
  const double nan = cases::kMissing;
  std::vector<double> oven(data.oven.size(), nan);
  std::mt19937_64 engine(5);
  std::normal_distribution<double> normal;
  for (std::size_t i = 0; i < oven.size(); ++i) {
    const double shape = data.shape(static_cast<Eigen::Index>(i), 0);
    if (shape > 0.7) {
      oven[i] = 16.0 + 1.5 * shape + 0.5 * normal(engine);
    }
  }
  data.oven = oven;
  const BlockEstimate block = estimate_block(data, cases::rule(), cases::options());
  EXPECT_TRUE(cases::has(block, BlockFlag::oven_fruit_differ_in_shape));
  EXPECT_TRUE(block.robust);
  const double truth = 16.0 + 1.5 * data.shape.col(0).mean();
  EXPECT_LT(block.mean_dm_interval.value().low, truth);
  EXPECT_GT(block.mean_dm_interval.value().high, truth);
  // Shape off: nothing puts it right, so it is never ready.
  BlockOptions off = cases::options();
  off.use_shape = UseShape::off;
  const BlockEstimate uncorrected = estimate_block(data, cases::rule(), off);
  EXPECT_GT(uncorrected.mean_dm_pct.value(), truth + 1.0);
  EXPECT_NE(uncorrected.decision, Decision::ready);
  EXPECT_TRUE(cases::has(uncorrected, BlockReason::selection_not_corrected));
}

TEST(BlockEdges, AddedFruitAreFlaggedWhereShapeIsNotUsed) {
  BlockData data = cases::oven_only();
  data.included.assign(data.tree.size(), true);
  data.included[3] = false;
  EXPECT_TRUE(
      cases::has(estimate_block(data, cases::rule()), BlockFlag::added_fruit_without_shape));
}

TEST(BlockEdges, AllReadingsEqualIsLegalAndFlagged) {
  BlockData data = cases::oven_only();
  data.oven.assign(data.oven.size(), 16.0);
  const BlockEstimate block = estimate_block(data, cases::rule());
  EXPECT_TRUE(cases::has(block, BlockFlag::spread_outside_range));
  EXPECT_NEAR(block.mean_dm_pct.value(), 16.0, 1e-6);
  EXPECT_FALSE(block.residual_skewness.has_value());
}

TEST(BlockEdges, ShareAndReadinessReachTheirEnds) {
  BlockRule rule = cases::rule();
  rule.minimum_dm_pct = 3.0;
  const BlockEstimate all = estimate_block(cases::oven_only(), rule);
  EXPECT_NEAR(all.readiness.value(), 100.0, 1e-6);
  EXPECT_NEAR(all.share_mature.value(), 1.0, 1e-9);
  EXPECT_EQ(all.decision, Decision::ready);
  rule.minimum_dm_pct = 40.0;
  const BlockEstimate none = estimate_block(cases::oven_only(), rule);
  EXPECT_NEAR(none.readiness.value(), 0.0, 1e-6);
  EXPECT_LT(none.share_interval.value().high, 1e-6);
  EXPECT_EQ(none.decision, Decision::not_yet);
}

TEST(BlockEdges, LeftTailAsksForMoreConfidence) {
  BlockData data;
  for (int i = 0; i < 30; ++i) {
    data.tree.push_back("t" + std::to_string(i / 2));
    data.oven.push_back(i % 10 == 0 ? 14.2 : 17.5 + 0.05 * (i % 10));
  }
  BlockRule rule = cases::rule();
  const BlockEstimate block = estimate_block(data, rule);
  EXPECT_TRUE(cases::has(block, BlockFlag::left_skew));
  EXPECT_LT(block.residual_skewness.value(), -1.0);
  rule.minimum_dm_pct = 14.9;
  rule.confidence = estimate_block(data, rule).readiness.value() / 100.0 - 0.02;
  const BlockEstimate skewed = estimate_block(data, rule);
  EXPECT_EQ(skewed.decision, Decision::sample_more);
  EXPECT_TRUE(cases::has(skewed, BlockReason::left_skew));
}

TEST(BlockEdges, ShapeThatTellsNothingIsSaid) {
  const BlockEstimate block =
      estimate_block(invented(30, 2, false, 0.0), cases::rule(), cases::options());
  EXPECT_GT(block.p_noshape.value(), 0.5);
  EXPECT_TRUE(cases::has(block, BlockFlag::shape_adds_nothing));
  EXPECT_TRUE(block.fruit.at(1).about_block_average);
  EXPECT_FALSE(block.fruit.at(0).about_block_average);
}

// Rule mean: the chance that the mean reaches the minimum, by the same mixture.
TEST(BlockEdges, RuleMeanAsksForTheMean) {
  BlockRule rule = cases::rule();
  rule.kind = RuleKind::mean;
  const BlockEstimate block = estimate_block(cases::oven_only(), rule, cases::options());
  EXPECT_GT(block.readiness.value(), 99.0);
  EXPECT_EQ(block.decision, Decision::ready);
  // At the upper end of the 95 % interval, 2.5 in 100 by definition.
  rule.minimum_dm_pct = block.mean_dm_interval.value().high;
  EXPECT_NEAR(estimate_block(cases::oven_only(), rule, cases::options()).readiness.value(), 2.5,
              1e-5);
  EXPECT_NEAR(block.share_mature.value(), 0.877122, 2e-5);
}

TEST(BlockEdges, OrderOfFruitAndNamesOfTreesDoNotMatter) {
  const BlockData data = cases::shape_oven_meter();
  BlockData turned = data;
  const std::size_t n = data.tree.size();
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t from = (5 * i + 3) % n;
    turned.tree[i] = "row 2 / " + data.tree[from];
    turned.shape.row(static_cast<Eigen::Index>(i)) =
        data.shape.row(static_cast<Eigen::Index>(from));
    turned.oven[i] = data.oven[from];
    turned.meter[i] = data.meter[from];
  }
  const BlockEstimate one = estimate_block(data, cases::rule(), cases::options());
  const BlockEstimate two = estimate_block(turned, cases::rule(), cases::options());
  EXPECT_NEAR(one.readiness.value(), two.readiness.value(), 1e-8);
  EXPECT_NEAR(one.fruit.at(3).mean_dm_pct.value(), two.fruit.at(0).mean_dm_pct.value(), 1e-9);
}

TEST(BlockEdges, UnitOfShapeDoesNotMatter) {
  BlockData data = cases::two_shapes();
  const BlockEstimate one = estimate_block(data, cases::rule(), cases::options());
  data.shape.col(0) = (data.shape.col(0).array() * 25.4 + 3.0).matrix();
  const BlockEstimate two = estimate_block(data, cases::rule(), cases::options());
  EXPECT_NEAR(one.readiness.value(), two.readiness.value(), 1e-8);
  EXPECT_NEAR(one.slopes.at(0).per_unit.mean, 25.4 * two.slopes.at(0).per_unit.mean, 1e-9);
}

TEST(BlockEdges, BlockOutsideTheCalibrationIgnoresIt) {
  BlockOptions options = cases::options();
  options.descriptor_names = {"z1", "z2"};
  options.calibration = cases::calibration_about(5.0);
  const BlockEstimate outside = estimate_block(cases::two_shapes(), cases::rule(), options);
  EXPECT_TRUE(cases::has(outside, BlockFlag::outside_calibration));
  EXPECT_FALSE(outside.calibration_used);
  EXPECT_NEAR(outside.mean_dm_pct.value(), 17.856849, 2e-5);
  options.calibration = cases::calibration_about(0.0);
  EXPECT_TRUE(estimate_block(cases::two_shapes(), cases::rule(), options).calibration_used);
}

}  // namespace
}  // namespace maturity
