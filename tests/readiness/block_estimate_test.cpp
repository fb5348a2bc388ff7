#include "libmaturity/readiness/block_estimate.h"

#include <gtest/gtest.h>

#include "libmaturity/core/version.h"
#include "tests/readiness/block_cases.h"

// Expected values: COMPUTED by a prototype in another language, every node kept; mean, SD,
// readiness and spread also by a dense-covariance rewrite (6 digits) and, to 0.01, by random-walk
// MCMC over continuous variances. They check code, not the world.

namespace maturity {
namespace {

constexpr double kTolerance = 2e-5;

struct Expected {
  double mean;
  double sd;
  double mean_low;
  double mean_high;
  double share;
  double share_low;
  double share_high;
  double readiness;
  double spread;
  double psi;
  double psi_sd;
};

void expect_block(const BlockEstimate& block, const Expected& expected) {
  const auto near = [](double value, double wanted) {
    if (!std::isnan(wanted)) {
      EXPECT_NEAR(value, wanted, kTolerance);
    }
  };
  near(block.mean_dm_pct.value(), expected.mean);
  near(block.mean_dm_sd.value(), expected.sd);
  near(block.mean_dm_interval.value().low, expected.mean_low);
  near(block.mean_dm_interval.value().high, expected.mean_high);
  near(block.share_mature.value(), expected.share);
  near(block.share_interval.value().low, expected.share_low);
  near(block.share_interval.value().high, expected.share_high);
  near(block.readiness.value() / 100.0, expected.readiness);
  near(block.spread_sd.value(), expected.spread);
  near(block.psi_mean.value(), expected.psi);
  near(block.psi_sd.value(), expected.psi_sd);
}

TEST(BlockEstimate, OvenOnlyMatchesTheWorkedCase) {
  const BlockEstimate block = estimate_block(cases::oven_only(), cases::rule(), cases::options());
  expect_block(block, {16.287900, 0.425506, 15.436564, 17.137761, 0.877122, 0.622329, 0.979759,
                       0.392412, 1.167051, 14.792264, 0.563722});
  EXPECT_FALSE(block.p_noshape.has_value());
  EXPECT_FALSE(block.meter_bias.has_value());
  EXPECT_EQ(block.decision, Decision::sample_more);
}

TEST(BlockEstimate, OneShapeMatchesTheWorkedCase) {
  const BlockEstimate block =
      estimate_block(cases::oven_and_shape(), cases::rule(), cases::options());
  expect_block(block, {16.289493, 0.479436, 15.347916, 17.230962, 0.890048, 0.622175, 0.997139,
                       0.460059, 1.057496, 14.934257, 0.581566});
  EXPECT_NEAR(block.p_noshape.value(), 0.001500, kTolerance);
  EXPECT_NEAR(block.slopes.at(0).per_sd.mean, 0.914071, kTolerance);
}

TEST(BlockEstimate, TwoShapesMatchTheWorkedCase) {
  const BlockEstimate block = estimate_block(cases::two_shapes(), cases::rule(), cases::options());
  expect_block(block, {17.856849, 0.475539, 16.910512, 18.798805, 0.994767, 0.898142, 0.999995,
                       0.973974, 1.160338, 16.369816, 0.613646});
  EXPECT_NEAR(block.p_noshape.value(), 0.151947, kTolerance);
  EXPECT_NEAR(block.slopes.at(0).per_sd.mean, 0.310918, kTolerance);
  EXPECT_NEAR(block.slopes.at(1).per_sd.mean, 0.203336, kTolerance);
  EXPECT_NEAR(block.p_selection_by_shape.value(), 0.458683, 1e-6);
  EXPECT_EQ(block.decision, Decision::ready);
}

TEST(BlockEstimate, ShapeOvenAndMeterMatchTheWorkedCase) {
  const BlockEstimate block =
      estimate_block(cases::shape_oven_meter(), cases::rule(), cases::options());
  expect_block(block, {17.574383, 0.655814, 16.281175, 18.866975, 0.947635, 0.766159, 0.997549,
                       0.760253, 1.607799, 15.513906, 0.762787});
  EXPECT_NEAR(block.p_noshape.value(), 0.065100, kTolerance);
  EXPECT_NEAR(block.slopes.at(0).per_sd.mean, 0.825635, kTolerance);
  EXPECT_NEAR(block.meter_bias.value().mean, 1.200845, kTolerance);
  EXPECT_NEAR(block.meter_bias.value().sd, 0.320428, kTolerance);
  EXPECT_NEAR(block.p_selection_by_shape.value(), 0.958640, 1e-6);
  EXPECT_NEAR(block.p_selection_by_meter.value(), 0.960422, 1e-6);
}

TEST(BlockEstimate, MeterOnlyMatchesTheWorkedCaseAndIsNeverReady) {
  BlockRule rule = cases::rule();
  const BlockEstimate block = estimate_block(cases::meter_only(), rule, cases::options());
  expect_block(block, {17.319514, 1.499927, 14.379020, 20.259456, 0.994058, 0.246684, 1.000000,
                       0.764368, 0.938256, 16.117091, 1.564062});
  EXPECT_NEAR(block.meter_bias.value().mean, 0.118756, kTolerance);
  EXPECT_NEAR(block.meter_bias.value().sd, 1.437262, kTolerance);
  EXPECT_TRUE(cases::has(block, BlockFlag::meter_bias_not_checked));

  rule.minimum_dm_pct = 10.0;
  const BlockEstimate low = estimate_block(cases::meter_only(), rule, cases::options());
  EXPECT_GT(low.readiness.value(), 99.0);
  EXPECT_EQ(low.decision, Decision::sample_more);
  EXPECT_EQ(low.reasons.front(), BlockReason::no_oven_fruit);
  rule.minimum_dm_pct = 22.0;
  const BlockEstimate high = estimate_block(cases::meter_only(), rule, cases::options());
  EXPECT_EQ(high.decision, Decision::not_yet);
}

TEST(BlockEstimate, ThreeOvenFruitMatchTheWorkedCaseAndRestOnThePlanningGuess) {
  BlockRule rule = cases::rule();
  const BlockEstimate block = estimate_block(cases::three_oven(), rule, cases::options());
  expect_block(block, {17.071168, 0.809865, 15.405356, 18.697451, 0.959716, 0.585769, 0.999887,
                       0.710568, 1.325101, 15.372983, 1.074756});
  EXPECT_TRUE(cases::has(block, BlockFlag::planning_guess_dominates));
  rule.minimum_dm_pct = 10.0;
  const BlockEstimate low = estimate_block(cases::three_oven(), rule, cases::options());
  EXPECT_EQ(low.decision, Decision::sample_more);
  EXPECT_EQ(low.reasons.front(), BlockReason::few_oven_fruit);
}

TEST(BlockEstimate, DeclaredSelectionLeavesSlopesFree) {
  BlockOptions options = cases::options();
  options.picked_on_purpose = true;
  const BlockEstimate block = estimate_block(cases::two_shapes(), cases::rule(), options);
  const double nan = cases::kMissing;
  expect_block(block, {17.886885, 0.499428, nan, nan, 0.993767, 0.897463, 0.999997, 0.973515,
                       1.189489, nan, nan});
  EXPECT_TRUE(block.robust);
  EXPECT_FALSE(block.p_noshape.has_value());
  // No meter, and not by outline alone: nothing puts it right.
  EXPECT_EQ(block.decision, Decision::sample_more);
  EXPECT_EQ(block.reasons.front(), BlockReason::selection_not_corrected);
  options.picked_by_shape_only = true;
  EXPECT_EQ(estimate_block(cases::two_shapes(), cases::rule(), options).decision, Decision::ready);
}

TEST(BlockEstimate, DeclaredSelectionWithMeterAddsTheHasOvenColumn) {
  BlockOptions options = cases::options();
  options.picked_on_purpose = true;
  const BlockEstimate block = estimate_block(cases::shape_oven_meter(), cases::rule(), options);
  const double nan = cases::kMissing;
  expect_block(block, {17.574972, 0.728754, 16.144946, 19.006830, 0.940565, 0.740289, 0.997883,
                       0.709498, 1.662044, nan, nan});
  EXPECT_TRUE(cases::has(block, BlockFlag::corrected_by_meter));
  EXPECT_EQ(block.slopes.size(), 1U);
}

CalibrationSlopes calibration() {
  CalibrationSlopes slopes;
  slopes.id = "worked";
  slopes.names = {"z1", "z2"};
  slopes.version = method_version();
  slopes.slopes = Eigen::Vector2d(0.6, -0.4);
  slopes.slopes_covariance = (Eigen::Matrix2d() << 0.04, -0.01, -0.01, 0.04).finished();
  return slopes;
}

TEST(BlockEstimate, CalibrationMatchesTheWorkedCase) {
  BlockOptions options = cases::options();
  options.descriptor_names = {"z1", "z2"};
  options.calibration = calibration();
  const BlockEstimate block = estimate_block(cases::two_shapes(), cases::rule(), options);
  const double nan = cases::kMissing;
  expect_block(block, {17.828344, 0.442280, 16.946120, 18.704667, 0.994914, 0.905692, 0.999989,
                       0.978004, 1.143314, nan, nan});
  EXPECT_NEAR(block.slopes.at(0).per_sd.mean, 0.569525, kTolerance);
  EXPECT_NEAR(block.slopes.at(1).per_sd.mean, -0.100847, kTolerance);
  EXPECT_TRUE(block.calibration_used);
}

TEST(BlockEstimate, EachFruitMatchesTheWorkedCases) {
  const BlockEstimate two = estimate_block(cases::two_shapes(), cases::rule(), cases::options());
  EXPECT_NEAR(two.fruit.at(0).mean_dm_pct.value(), 18.358337, 1e-6);
  EXPECT_NEAR(two.fruit.at(0).sd_pct.value(), 0.148541, 1e-6);
  EXPECT_NEAR(two.fruit.at(1).mean_dm_pct.value(), 17.963017, 1e-6);
  EXPECT_NEAR(two.fruit.at(1).sd_pct.value(), 1.098676, 1e-6);
  const BlockEstimate metered =
      estimate_block(cases::shape_oven_meter(), cases::rule(), cases::options());
  EXPECT_NEAR(metered.fruit.at(0).mean_dm_pct.value(), 17.476548, 1e-6);
  EXPECT_NEAR(metered.fruit.at(0).sd_pct.value(), 0.794848, 1e-6);
  EXPECT_NEAR(metered.fruit.at(1).mean_dm_pct.value(), 16.067389, 1e-6);
  EXPECT_NEAR(metered.fruit.at(1).sd_pct.value(), 0.147954, 1e-6);
}

TEST(BlockEstimate, DroppingLightNodesChangesNothingThatCounts) {
  BlockOptions dropping = cases::options();
  dropping.drop_nodes_below = BlockOptions{}.drop_nodes_below;
  for (const BlockData& data :
       {cases::oven_only(), cases::two_shapes(), cases::shape_oven_meter(), cases::meter_only()}) {
    const BlockEstimate whole = estimate_block(data, cases::rule(), cases::options());
    const BlockEstimate part = estimate_block(data, cases::rule(), dropping);
    EXPECT_NEAR(whole.readiness.value(), part.readiness.value(), 1e-4);
    EXPECT_NEAR(whole.mean_dm_sd.value(), part.mean_dm_sd.value(), 1e-6);
    EXPECT_NEAR(whole.share_interval.value().low, part.share_interval.value().low, 1e-6);
  }
}

}  // namespace
}  // namespace maturity
