#include "libmaturity/calibration/meter_fit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "tests/calibration/normal_draws.h"

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
  EXPECT_EQ(fit.within_block_fruit, 200 * 11 + 1);
}

TEST(MeterFit, BlockBiasesByHand) {
  const MeterFit fit = fit_meter({{"a", "a", "b", "b"}, {14, 15, 16, 17}, {15, 17, 16, 18}});
  ASSERT_EQ(fit.blocks.size(), 2U);
  EXPECT_NEAR(fit.blocks[0].bias, 1.5, 1e-12);
  EXPECT_NEAR(fit.blocks[1].bias, 0.5, 1e-12);
  EXPECT_NEAR(fit.blocks[0].standard_error, std::sqrt(0.5) / std::sqrt(2.0), 1e-12);
  EXPECT_FALSE(fit.within_block_sep.has_value());  // 2 degrees of freedom
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
