#include "tests/readiness/dense_twin.h"

#include <gtest/gtest.h>

#include <cmath>

#include "libmaturity/readiness/block_estimate.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

constexpr double kShareZ = 1.2815515655446004;

void expect_twins(const BlockData& data) {
  const BlockEstimate block = estimate_block(data, cases::rule(), cases::options());
  const cases::TwinResult twin = cases::dense_twin(data, 15.0, kShareZ);
  EXPECT_NEAR(block.mean_dm_pct.value(), twin.mean, 1e-7);
  EXPECT_NEAR(block.mean_dm_sd.value(), twin.sd, 1e-7);
  EXPECT_NEAR(block.readiness.value() / 100.0, twin.readiness, 1e-7);
  EXPECT_NEAR(block.spread_sd.value(), twin.spread, 1e-7);
  for (std::size_t i = 0; i < data.tree.size(); ++i) {
    EXPECT_NEAR(block.fruit[i].mean_dm_pct.value(), twin.fruit[i].mean, 1e-7) << "fruit " << i;
    EXPECT_NEAR(block.fruit[i].sd_pct.value(), twin.fruit[i].sd, 1e-6) << "fruit " << i;
  }
}

// Slow plain twin: dense covariance, no sums by tree.
TEST(DenseTwin, AgreesOnEveryCaseToSevenDigits) {
  expect_twins(cases::oven_only());
  expect_twins(cases::oven_and_shape());
  expect_twins(cases::two_shapes());
  expect_twins(cases::shape_oven_meter());
  expect_twins(cases::meter_only());
  expect_twins(cases::three_oven());
  expect_twins(cases::two_meters());
}

double off(const BlockData& data, const cases::Twist& twist) {
  const cases::TwinResult right = cases::dense_twin(data, 15.0, kShareZ);
  const cases::TwinResult wrong = cases::dense_twin(data, 15.0, kShareZ, twist);
  return std::abs(right.readiness - wrong.readiness);
}

// Wrong on purpose: each slip must move readiness by far more than the 2e-5 of the worked cases.
TEST(DenseTwin, SlipsMissTheWorkedValues) {
  constexpr double kCaught = 1e-3;
  cases::Twist trees;
  trees.ignore_trees = true;
  EXPECT_GT(off(cases::oven_only(), trees), kCaught);
  cases::Twist meter;
  meter.meter_is_truth = true;
  EXPECT_GT(off(cases::shape_oven_meter(), meter), kCaught);
  cases::Twist as_one;
  as_one.meters_as_one = true;
  EXPECT_GT(off(cases::two_meters(), as_one), kCaught);
  cases::Twist sampling;
  sampling.forget_sampling_of_shape = true;
  EXPECT_GT(off(cases::shape_oven_meter(), sampling), kCaught);
  cases::Twist spread;
  spread.forget_slopes_in_spread = true;
  EXPECT_GT(off(cases::two_shapes(), spread), kCaught);
}

}  // namespace
}  // namespace maturity
