#include "libmaturity/plain/block.h"

#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/readiness/block_estimate.h"

namespace maturity {
namespace {

/// Invented: 24 fruit of 8 trees with two descriptors, one in three dried, all read with a meter.
std::vector<plain::SampledFruit> invented_fruit() {
  std::vector<plain::SampledFruit> fruit;
  for (int i = 0; i < 24; ++i) {
    plain::SampledFruit one;
    one.tree = std::to_string(i / 3);
    const double fill = 0.1 * ((i * 7) % 11) - 0.5;
    const double nose = 0.1 * ((i * 5) % 13) - 0.6;
    if (i != 4) {
      one.shape = {fill, nose};
    }
    const double truth = 16.0 + fill + 0.3 * ((i * 3) % 5);
    one.meter_dm_pct = truth + 0.4;
    if (i % 3 == 0) {
      one.oven_dm_pct = truth;
    }
    fruit.push_back(one);
  }
  return fruit;
}

TEST(PlainBlock, SaysWhatTheFullEstimateSays) {
  const auto fruit = invented_fruit();
  BlockData data;
  data.shape.setConstant(24, 2, std::nan(""));
  for (int i = 0; i < 24; ++i) {
    const auto& one = fruit[static_cast<std::size_t>(i)];
    data.tree.push_back(one.tree);
    data.oven.push_back(one.oven_dm_pct.value_or(std::nan("")));
    data.meter.push_back(one.meter_dm_pct.value_or(std::nan("")));
    if (!one.shape.empty()) {
      data.shape(i, 0) = one.shape[0];
      data.shape(i, 1) = one.shape[1];
    }
  }
  BlockRule rule;
  rule.minimum_dm_pct = 15.5;
  rule.required_share = 0.8;
  rule.confidence = 0.85;
  const BlockEstimate full = estimate_block(data, rule);
  const plain::Estimate estimate = plain::estimate_block(fruit, {15.5, 0.8, 0.85});
  ASSERT_TRUE(full.readiness.has_value());
  EXPECT_EQ(estimate.readiness, full.readiness);
  EXPECT_EQ(estimate.mean_dm_pct, full.mean_dm_pct);
  EXPECT_EQ(estimate.share_mature, full.share_mature);
  ASSERT_TRUE(estimate.mean_dm_range && estimate.share_range);
  EXPECT_EQ(estimate.mean_dm_range->low, full.mean_dm_interval->low);
  EXPECT_EQ(estimate.share_range->high, full.share_interval->high);
  EXPECT_EQ(estimate.decision, name(full.decision));
  ASSERT_EQ(estimate.reasons.size(), full.reasons.size());
  EXPECT_EQ(estimate.reasons.front(), sentence(full.reasons.front()));
  EXPECT_EQ(estimate.doubts.size(), full.flags.size());
}

TEST(PlainBlock, ShapesOfDifferentLengthsAreRefused) {
  auto fruit = invented_fruit();
  fruit[2].shape.pop_back();
  EXPECT_THROW(plain::estimate_block(fruit, {15.5, 0.8, 0.85}), std::invalid_argument);
  EXPECT_THROW(plain::estimate_block(invented_fruit(), {}), std::invalid_argument);
}

}  // namespace
}  // namespace maturity
