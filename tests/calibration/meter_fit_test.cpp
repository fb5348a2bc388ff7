#include "libmaturity/calibration/meter_fit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "tests/calibration/normal_draws.h"
#include "tests/values/nist_reference_datasets.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

MeterPairs drawn(int blocks, int fruit, double bias_sd, double error, std::uint64_t seed) {
  RandomStream stream(seed);
  MeterPairs pairs;
  for (int b = 0; b < blocks; ++b) {
    const double bias = 0.8 + bias_sd * draws::normal(stream);
    for (int i = 0; i < fruit; ++i) {
      pairs.block.push_back(std::to_string(b));
      pairs.oven.push_back(15.0 + 1.3 * draws::normal(stream));
      pairs.meter.push_back(pairs.oven.back() + bias + error * draws::normal(stream));
    }
  }
  return pairs;
}

TEST(MeterFit, FindsTheErrorAndTheSpreadOfBiasPutIn) {
  const MeterFit fit = fit_meter(drawn(200, 12, 0.6, 0.9, 4));
  EXPECT_NEAR(fit.within_block_sep.value(), 0.9, 0.03);
  EXPECT_NEAR(fit.bias_sd_between_blocks.value(), 0.6, 0.1);
  EXPECT_NEAR(fit.overall.bias, 0.8, 0.15);
  // Wrong on purpose: the SEP over all blocks takes the moving bias for meter error.
  EXPECT_GT(fit.overall.sep, 1.0);
  EXPECT_EQ(fit.within_block_fruit, 200 * 11);
}

TEST(MeterFit, BlockBiasesByHand) {
  const MeterFit fit = fit_meter({{"a", "a", "b", "b"}, {14, 15, 16, 17}, {15, 17, 16, 18}});
  ASSERT_EQ(fit.blocks.size(), 2U);
  EXPECT_NEAR(fit.blocks[0].bias, 1.5, 1e-12);
  EXPECT_NEAR(fit.blocks[1].bias, 0.5, 1e-12);
  EXPECT_NEAR(fit.blocks[0].standard_error, std::sqrt(0.5) / std::sqrt(2.0), 1e-12);
  EXPECT_FALSE(fit.within_block_sep.has_value());  // 2 degrees of freedom
}

/// Readings of slope 0.7 (SD 0.12 between blocks) with error 0.9.
MeterPairs flat_readings(int blocks, int fruit, std::uint64_t seed) {
  MeterPairs pairs = drawn(blocks, fruit, 0.6, 0.9, seed);
  RandomStream stream(seed + 1);
  double slope = 0.0;
  for (std::size_t i = 0; i < pairs.meter.size(); ++i) {
    if (i % static_cast<std::size_t>(fruit) == 0) {
      slope = 0.7 + 0.12 * draws::normal(stream);
    }
    pairs.meter[i] += (slope - 1.0) * (pairs.oven[i] - 15.0);
  }
  return pairs;
}

// NIST StRD Norris (one block, y as reading): slope, its residual SD and 34 degrees as certified.
TEST(MeterFit, NorrisAsOneVisit) {
  const MeterPairs pairs{std::vector<std::string>(values::kNorrisX.size(), "a"), values::kNorrisX,
                         values::kNorrisY};
  const MeterFit fit = fit_meter(pairs);
  EXPECT_NEAR(fit.within_block_sep.value(), 0.884796396144373, 1e-10);  // certified
  EXPECT_EQ(fit.within_block_fruit, 35);
  EXPECT_NEAR(fit.slope->mean, values::kNorrisCoefficients[1], 1e-10);
  EXPECT_FALSE(fit.corrected_by_fold.has_value());
}

TEST(MeterFit, ErrorIsWhatIsLeftOnceTheSlopeIsOut) {
  const MeterFit fit = fit_meter(flat_readings(200, 12, 11));
  // The spread of slopes, 0.12 x 1.3, stays in it.
  EXPECT_NEAR(fit.within_block_sep.value(), std::hypot(0.9, 0.12 * 1.3), 0.03);
  EXPECT_NEAR(fit.slope->mean, 0.7, 0.03);
  EXPECT_NEAR(fit.slope->estimated_between_block_sd, 0.12, 0.04);
  EXPECT_NEAR(fit.slope->between_block_sd, 0.12, 0.04);
  EXPECT_LT(fit.slope->standard_error, 0.03);
  // Wrong on purpose: with the slope's part in it.
  EXPECT_GT(fit.by_block->sep, 1.0);
}

// The slope of a block that was not seen lies within what is stated for it.
TEST(MeterFit, SlopeOfANewBlockIsCovered) {
  constexpr int kRounds = 400;
  RandomStream stream(5);
  int covered = 0;
  int average_only = 0;
  for (int round = 0; round < kRounds; ++round) {
    const MeterFit fit = fit_meter(flat_readings(6, 15, 7000U + static_cast<unsigned>(round)));
    const double gap = std::abs(fit.slope->mean - 0.7 - 0.12 * draws::normal(stream));
    covered += gap < 1.96 * fit.slope->new_block_sd ? 1 : 0;
    average_only += gap < 1.96 * fit.slope->standard_error ? 1 : 0;
  }
  EXPECT_GT(covered, 0.92 * kRounds);
  EXPECT_LT(average_only, 0.85 * kRounds);
}

TEST(MeterFit, LeftOutBlocksArePredictedByTheOthersLine) {
  MeterPairs pairs = flat_readings(8, 20, 21);
  for (const std::string& block : pairs.block) {
    pairs.fold.push_back(std::to_string(std::stoi(block) / 2));
    pairs.season.emplace_back(std::stoi(block) < 4 ? "2030" : "2031");
  }
  const MeterFit fit = fit_meter(pairs);
  EXPECT_EQ(fit.corrected_by_fold->folds, 4);
  EXPECT_EQ(fit.corrected_by_season->folds, 2);
  EXPECT_FALSE(fit.corrected_by_season->ranges.has_value());
  EXPECT_FALSE(fit.by_season.has_value());
  EXPECT_EQ(fit.corrected_by_fold->ranges->clusters, 4);
  EXPECT_EQ(fit.by_block->clusters, 4);
  EXPECT_LT(std::abs(fit.corrected_by_fold->agreement.bias), fit.overall.bias);
  // A fold is never predicted by itself: another bias in one fold moves its own errors only so far
  // as the others' mean allows, wholly.
  for (std::size_t i = 0; i < pairs.meter.size(); ++i) {
    pairs.meter[i] += pairs.fold[i] == "0" ? 6.0 : 0.0;
  }
  EXPECT_GT(fit_meter(pairs).corrected_by_fold->agreement.rmsep,
            fit.corrected_by_fold->agreement.rmsep + 0.5);
}

TEST(MeterFit, OneBlockSaysNothingOfTheNext) {
  EXPECT_FALSE(fit_meter(drawn(1, 20, 0.6, 0.9, 5)).bias_sd_between_blocks.has_value());
}

TEST(MeterFit, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        fit_meter({{"a", "", "b"}, {14, 15, 16}, {15, 17, 16}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("block, fruit 2: blank")));
}

}  // namespace
}  // namespace maturity
