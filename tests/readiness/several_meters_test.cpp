#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/meter_slope.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

BlockOptions with_slope() {
  BlockOptions options = cases::options();
  options.meter_slope = kMeterSlopeGuess;
  options.meter_slope_sd = kMeterSlopeGuessSd;
  return options;
}

void expect_same(const BlockEstimate& a, const BlockEstimate& b, double near) {
  EXPECT_NEAR(a.mean_dm_pct.value(), b.mean_dm_pct.value(), near);
  EXPECT_NEAR(a.mean_dm_sd.value(), b.mean_dm_sd.value(), near);
  EXPECT_NEAR(a.readiness.value(), b.readiness.value(), 100.0 * near);
  EXPECT_NEAR(a.spread_sd.value(), b.spread_sd.value(), near);
  for (std::size_t i = 0; i < a.fruit.size(); ++i) {
    EXPECT_NEAR(a.fruit[i].mean_dm_pct.value(), b.fruit[i].mean_dm_pct.value(), near);
    EXPECT_NEAR(a.fruit[i].sd_pct.value(), b.fruit[i].sd_pct.value(), near);
  }
}

TEST(SeveralMeters, AMeterThatReadNothingChangesNothing) {
  BlockData data = cases::shape_oven_meter();
  const BlockEstimate alone = estimate_block(data, cases::rule(), with_slope());
  data.further_meters.push_back({std::vector<double>(data.tree.size(), cases::kMissing), {}, {}});
  const BlockEstimate beside = estimate_block(data, cases::rule(), with_slope());
  expect_same(alone, beside, 0.0);
  ASSERT_EQ(beside.further_meter_bias.size(), 1U);
  EXPECT_EQ(beside.further_meter_bias[0].sd, kMeterBiasSd);
}

TEST(SeveralMeters, TheirOrderDoesNotMatter) {
  BlockData data = cases::two_meters();
  data.further_meters[0].sep_pct.reset();
  data.further_meters[0].sep_n.reset();
  const BlockEstimate one = estimate_block(data, cases::rule(), with_slope());
  std::swap(data.meter, data.further_meters[0].dm_pct);
  const BlockEstimate other = estimate_block(data, cases::rule(), with_slope());
  expect_same(one, other, 1e-9);
  EXPECT_NEAR(one.meter_bias->mean, other.further_meter_bias[0].mean, 1e-9);
  EXPECT_NEAR(one.meter_bias->sd, other.further_meter_bias[0].sd, 1e-9);
}

// The second meter of the case reads 2.0 lower: its bias must come out so much lower.
TEST(SeveralMeters, EachHasItsOwnBias) {
  const BlockEstimate block = estimate_block(cases::two_meters(), cases::rule(), cases::options());
  ASSERT_EQ(block.further_meter_bias.size(), 1U);
  EXPECT_NEAR(block.meter_bias->mean - block.further_meter_bias[0].mean, 2.0, 0.5);
  EXPECT_EQ(block.counts.meter_fruit, 18);
}

/// 40 fruit on 20 trees; every other tree read with the second meter, biased
/// otherwise by `gap`, the oven fruit on those of the first.
BlockData halves(double gap) {
  std::vector<cases::Row> rows;
  std::vector<double> second;
  for (int i = 0; i < 40; ++i) {
    const double truth = 16.5 + 2.4 * (std::fmod(0.6180339887 * (i + 1), 1.0) - 0.5);
    const double noise = 1.6 * (std::fmod(0.7548776662 * (i + 1), 1.0) - 0.5);
    const bool by_second = i / 2 % 2 == 0;
    rows.push_back({i / 2,
                    {},
                    i % 4 == 2 ? truth : cases::kMissing,
                    by_second ? cases::kMissing : truth + 1.0 + noise});
    second.push_back(by_second ? truth + 1.0 - gap + noise : cases::kMissing);
  }
  BlockData data = cases::block_of(rows);
  data.further_meters.push_back({second, {}, {}});
  return data;
}

// The mean must not depend on how far the meters lie apart, but for what the prior of the biases
// says; taken for one meter, whose oven fruit all lie with the first, the gap moves the mean.
TEST(SeveralMeters, AGapBetweenThemDoesNotMoveTheMean) {
  const auto mean = [](double gap, bool as_one) {
    BlockData data = halves(gap);
    if (as_one) {
      for (std::size_t i = 0; i < data.meter.size(); ++i) {
        data.meter[i] =
            std::isnan(data.meter[i]) ? data.further_meters[0].dm_pct[i] : data.meter[i];
      }
      data.further_meters.clear();
    }
    return estimate_block(data, cases::rule(), cases::options()).mean_dm_pct.value();
  };
  EXPECT_NEAR(mean(2.5, false), mean(0.0, false), 0.15);
  EXPECT_LT(mean(2.5, true), mean(0.0, true) - 0.4);
}

// Both halves count: the mean is known better than from the readings of one meter.
TEST(SeveralMeters, NoReadingIsThrownAway) {
  const BlockData data = halves(2.5);
  BlockData first_only = data;
  first_only.further_meters.clear();
  const BlockEstimate both = estimate_block(data, cases::rule(), cases::options());
  const BlockEstimate first = estimate_block(first_only, cases::rule(), cases::options());
  EXPECT_LT(both.mean_dm_sd.value(), first.mean_dm_sd.value());
  EXPECT_EQ(both.counts.meter_fruit, 40);
  EXPECT_EQ(first.counts.meter_fruit, 20);
}

// A gap alone must not pass for oven fruit picked on purpose: all oven fruit by one meter, most of
// the rest by the other.
TEST(SeveralMeters, AGapIsNoSignOfPickingOnPurpose) {
  BlockData data = halves(0.0);
  for (std::size_t i = 0; i < data.tree.size(); ++i) {
    const double reading =
        std::isnan(data.meter[i]) ? data.further_meters[0].dm_pct[i] : data.meter[i];
    const bool by_first = !std::isnan(data.oven[i]) || i % 4 == 0;
    data.meter[i] = by_first ? reading + 3.0 : cases::kMissing;
    data.further_meters[0].dm_pct[i] = by_first ? cases::kMissing : reading;
  }
  EXPECT_FALSE(estimate_block(data, cases::rule(), cases::options()).robust);
  BlockData as_one = data;
  for (std::size_t i = 0; i < data.tree.size(); ++i) {
    as_one.meter[i] = std::isnan(data.meter[i]) ? data.further_meters[0].dm_pct[i] : data.meter[i];
  }
  as_one.further_meters.clear();
  EXPECT_TRUE(estimate_block(as_one, cases::rule(), cases::options()).robust);
}

TEST(SeveralMeters, BadReadingsAreNamed) {
  BlockData data = cases::two_meters();
  data.further_meters[0].dm_pct[4] = 55.0;
  EXPECT_THAT(
      [&] { estimate_block(data, cases::rule(), {}); },
      testing::ThrowsMessage<std::invalid_argument>(testing::AllOf(
          testing::HasSubstr("meter 2, fruit in row 5 (tree 2)"), testing::HasSubstr("55"))));
  data = cases::two_meters();
  data.further_meters.resize(4, data.further_meters[0]);
  EXPECT_THAT([&] { estimate_block(data, cases::rule(), {}); },
              testing::ThrowsMessage<std::invalid_argument>(
                  testing::HasSubstr("further_meters: 4 instruments")));
}

}  // namespace
}  // namespace maturity
