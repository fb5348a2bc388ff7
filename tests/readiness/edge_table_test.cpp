// Every edge of the block estimate, what it must give, and the test that holds it to that:
//
//   no fruit; a blank tree; lengths that differ        error   BadBlockInput.DataAreNamed
//   one tree for all, one photographed tree            flag    BlockEdges.OneTreeIsNeverReady
//   no dry matter; with a calibration too              flag BlockEdges.NoDryMatterGivesNoNumbers,
//                                                              EdgeTable.ShapeAlone...
//   meter only                                         flag    BlockEstimate.MeterOnly...
//   1 to 4 oven fruit; fewer than 3 oven trees         flag    BlockEstimate.ThreeOvenFruit...,
//                                                              EdgeTable.TwoOvenTrees...
//   one fruit per tree                                 legal   BlockEdges.OneFruitPerTreeIsLegal
//   no photos                                          flag    BlockEdges.OnWithoutShapes...
//   shape says nothing                                 flag BlockEdges.ShapeThatTellsNothingIsSaid
//   more than 8 descriptors, too few fruit             flag    BlockEdges.TooManyDescriptors...,
//                                                              EdgeTable.ShapeNeedsThreeFruitMore...
//   constant descriptor; collinear ones                flag    BlockEdges.ConstantDescriptor...,
//                                                              BlockEdges.CollinearDescriptors...
//   outside the calibration, by mean or by fruit       flag    BlockEdges.BlockOutside...,
//                                                              EdgeTable.OneFruitInTen...
//   calibration of other names or another version      error BadBlockInput.RulesAndOptionsAreNamed
//   dry matter outside 3 to 40 %, infinite             error   BadBlockInput.DataAreNamed,
//                                                              EdgeTable.DryMatterOf...
//   left tail                                          flag    BlockEdges.LeftTail...,
//                                                              EdgeTable.ALeftTailIsSought...
//   share or readiness at their ends                   legal   BlockEdges.ShareAndReadiness...
//   required share, confidence, minimum out of range   error BadBlockInput.RulesAndOptionsAreNamed,
//                                                              EdgeTable.RuleValuesAtTheirEnds
//   all readings equal                                 flag    BlockEdges.AllReadingsEqual...
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

#include "libmaturity/readiness/block_estimate.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

TEST(EdgeTable, ShapeAloneGivesNoDryMatterEvenWithACalibration) {
  BlockData data = cases::two_shapes();
  data.oven.assign(data.oven.size(), cases::kMissing);
  BlockOptions options = cases::options();
  options.descriptor_names = {"z1", "z2"};
  options.calibration = cases::calibration_about(0.0);
  const BlockEstimate block = estimate_block(data, cases::rule(), options);
  EXPECT_TRUE(cases::has(block, BlockFlag::no_dry_matter));
  EXPECT_FALSE(block.mean_dm_pct.has_value());
  EXPECT_FALSE(block.readiness.has_value());
  EXPECT_FALSE(block.calibration_used);
}

TEST(EdgeTable, TwoOvenTreesRestOnThePlanningGuessAndThreeDoNot) {
  BlockRule rule = cases::rule();
  rule.minimum_dm_pct = 10.0;
  for (const int trees : {2, 3}) {
    BlockData data = cases::oven_only();
    for (std::size_t i = 0; i < data.tree.size(); ++i) {
      data.tree[i] = std::to_string(static_cast<int>(i) % trees);
    }
    const BlockEstimate block = estimate_block(data, rule);
    EXPECT_EQ(cases::has(block, BlockFlag::planning_guess_dominates), trees == 2);
    EXPECT_EQ(cases::has(block, BlockReason::few_oven_trees), trees == 2);
    EXPECT_EQ(block.decision == Decision::ready, trees == 3);
  }
}

TEST(EdgeTable, FourOvenFruitAreNeverReadyAndFiveMayBe) {
  BlockRule rule = cases::rule();
  rule.minimum_dm_pct = 8.0;
  for (const std::size_t fruit : {4U, 5U}) {
    BlockData data;
    for (std::size_t i = 0; i < fruit; ++i) {
      data.tree.push_back(std::to_string(i));
      data.oven.push_back(16.0 + 0.3 * static_cast<double>(i));
    }
    const BlockEstimate block = estimate_block(data, rule);
    EXPECT_EQ(cases::has(block, BlockReason::few_oven_fruit), fruit == 4);
    EXPECT_EQ(block.decision == Decision::ready, fruit == 5);
  }
}

TEST(EdgeTable, ShapeNeedsThreeFruitMoreThanDescriptors) {
  for (const int fruit : {4, 5}) {
    BlockData data = cases::two_shapes();
    for (Eigen::Index i = fruit; i < data.shape.rows(); ++i) {
      data.shape.row(i).setConstant(cases::kMissing);
      data.oven[static_cast<std::size_t>(i)] = cases::kMissing;
    }
    EXPECT_EQ(
        cases::has(estimate_block(data, cases::rule(), cases::options()), BlockFlag::shape_refused),
        fruit == 4);
  }
}

TEST(EdgeTable, OneFruitInTenFarOutIsWithinTheCalibrationAndTwoAreNot) {
  BlockOptions options = cases::options();
  options.descriptor_names = {"z1", "z2"};
  options.calibration = cases::calibration_about(0.0);
  options.calibration->shape_covariance = Eigen::Matrix2d::Identity();
  BlockData data = cases::two_shapes();
  // Twelve fruit within 2; far ones opposite each other, so that the mean stays.
  data.shape(0, 0) = 40.0;
  const auto outside = [&] {
    return cases::has(estimate_block(data, cases::rule(), options), BlockFlag::outside_calibration);
  };
  EXPECT_TRUE(outside());  // the mean is beyond its limit
  data.shape(0, 0) = 4.5;
  EXPECT_FALSE(outside());
  data.shape(1, 0) = -4.5;
  EXPECT_TRUE(outside());
}

TEST(EdgeTable, DryMatterOfThreeToFortyIsLegalAndBeyondIsNot) {
  for (const double value : {3.0, 40.0}) {
    BlockData data = cases::oven_only();
    data.oven[0] = value;
    EXPECT_NO_THROW(estimate_block(data, cases::rule()));
  }
  for (const double value : {2.999, 40.001, -16.0, std::numeric_limits<double>::infinity(),
                             -std::numeric_limits<double>::infinity()}) {
    for (const int channel : {0, 1, 2}) {
      BlockData data = cases::shape_oven_meter();
      data.further_meters.push_back({data.meter, {}, {}});
      auto& values = channel == 0   ? data.oven
                     : channel == 1 ? data.meter
                                    : data.further_meters[0].dm_pct;
      values[1] = value;
      EXPECT_THROW(estimate_block(data, cases::rule()), std::invalid_argument)
          << value << " in channel " << channel;
    }
  }
}

TEST(EdgeTable, ALeftTailIsSoughtInTwentyOvenFruitAndMore) {
  for (const int fruit : {19, 20}) {
    BlockData data;
    for (int i = 0; i < fruit; ++i) {
      data.tree.push_back(std::to_string(i));
      data.oven.push_back(i < 2 ? 13.0 : 17.0 + 0.05 * i);
    }
    const BlockEstimate block = estimate_block(data, cases::rule());
    EXPECT_EQ(cases::has(block, BlockFlag::left_skew), fruit == 20);
    EXPECT_LT(block.residual_skewness.value(), -2.0);
  }
  // The other tail is no reason to doubt the share.
  BlockData right;
  for (int i = 0; i < 20; ++i) {
    right.tree.push_back(std::to_string(i));
    right.oven.push_back(i < 2 ? 21.0 : 17.0 - 0.05 * i);
  }
  EXPECT_FALSE(cases::has(estimate_block(right, cases::rule()), BlockFlag::left_skew));
}

TEST(EdgeTable, RuleValuesAtTheirEnds) {
  const auto refused = [](double share, double confidence, double minimum) {
    BlockRule rule;
    rule.minimum_dm_pct = minimum;
    rule.required_share = share;
    rule.confidence = confidence;
    try {
      estimate_block(cases::oven_only(), rule);
    } catch (const std::invalid_argument&) {
      return true;
    }
    return false;
  };
  EXPECT_FALSE(refused(0.501, 0.501, 3.0));
  EXPECT_FALSE(refused(0.998, 0.998, 40.0));
  const double nan = std::nan("");
  for (const double share : {0.5, 0.999, 1.0, 0.0, -0.9, nan}) {
    EXPECT_TRUE(refused(share, 0.9, 15.0)) << share;
    EXPECT_TRUE(refused(0.9, share, 15.0)) << share;
  }
  for (const double minimum : {2.9, 40.1, nan, std::numeric_limits<double>::infinity()}) {
    EXPECT_TRUE(refused(0.9, 0.9, minimum)) << minimum;
  }
}

}  // namespace
}  // namespace maturity
