#include "libmaturity/calibration/agreement.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include "tests/values/nist_reference_datasets.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

const std::vector<double> kReference{13.2, 14.1, 14.8, 15.3, 15.9, 16.4, 17.0, 17.6, 18.3, 19.1};
const std::vector<double> kPredicted{13.6, 14.0, 15.2, 15.9, 16.0, 16.9, 17.1, 18.2, 18.4, 19.5};

// Invented pairs; every value COMPUTED by two routes (exact rationals; R lm, t.test, qt).
TEST(Agreement, WorkedSet) {
  const Agreement result = agreement(kReference, kPredicted);
  EXPECT_NEAR(result.bias, 0.31, 1e-12);
  EXPECT_NEAR(result.rmsep, 0.386005181312, 1e-9);
  EXPECT_NEAR(result.sep, 0.24244128728, 1e-9);
  EXPECT_NEAR(result.slope, 0.97295002426, 1e-9);
  EXPECT_NEAR(result.intercept, 0.135783600194, 1e-9);
  EXPECT_NEAR(result.residual_sd, 0.251214903429, 1e-9);
  EXPECT_NEAR(result.r_squared, 0.984084000453, 1e-9);
  EXPECT_NEAR(result.r_squared_identity, 0.953027962548, 1e-9);
  EXPECT_NEAR(result.reference_sd, 1.87737997101, 1e-9);
  EXPECT_NEAR(result.rpd_sep, 7.743647924, 1e-8);
  EXPECT_NEAR(result.rpd_rmsep, 4.863613397, 1e-8);
  EXPECT_NEAR(result.bias_limit, 0.1734320491, 1e-9);
  EXPECT_TRUE(result.bias_significant);
  EXPECT_NEAR(result.slope_t, 0.6183302116, 1e-9);
  EXPECT_NEAR(result.slope_t_limit, 2.3060041352, 1e-9);
  EXPECT_FALSE(result.slope_significant);
  EXPECT_LT(result.slope_interval.low, 1.0);
  EXPECT_GT(result.slope_interval.high, 1.0);
}

// NIST StRD Norris, x as predicted, y as reference: COMPUTED by two routes.
TEST(Agreement, NorrisAsACalibration) {
  const Agreement result = agreement(values::kNorrisY, values::kNorrisX);
  EXPECT_NEAR(result.bias, -0.625, 1e-12);
  EXPECT_NEAR(result.rmsep, 1.28743931896, 1e-9);
  EXPECT_NEAR(result.sep, 1.141521541, 1e-8);
  EXPECT_NEAR(result.reference_sd, 348.711126854, 1e-8);
  EXPECT_NEAR(result.bias_limit, 0.386235322, 1e-8);
  EXPECT_NEAR(result.slope, values::kNorrisCoefficients[1], 1e-11);
  EXPECT_NEAR(result.intercept, values::kNorrisCoefficients[0], 1e-8);
}

// With no bias to speak of the interval is that of SEP but for the divisor; a bias moves both ends.
TEST(Agreement, IntervalsOfRmsepAndRpdFollowFromThoseOfBiasAndSep) {
  const Agreement result = agreement(kReference, kPredicted);
  EXPECT_LT(result.rmsep_interval.low, result.rmsep);
  EXPECT_GT(result.rmsep_interval.high, result.rmsep);
  EXPECT_GT(result.rmsep_interval.low, result.sep_interval.low);
  EXPECT_NEAR(result.rpd_sep_interval.low, result.reference_sd / result.sep_interval.high, 1e-12);
  EXPECT_NEAR(result.rpd_sep_interval.high, result.reference_sd / result.sep_interval.low, 1e-12);
}

// 95 % of intervals hold the true RMSEP; forgetting the bias, as SEP's do, they hold few.
TEST(Agreement, TheIntervalOfRmsepHoldsTheTruthAsOftenAsItSays) {
  constexpr int kRounds = 2000;
  constexpr double kBias = 0.5;
  std::mt19937 random(20261126);  // NOLINT(cert-msc51-cpp): the same numbers each time
  std::normal_distribution<double> normal;
  const double truth = std::hypot(kBias, 1.0);
  int held = 0;
  int held_by_sep = 0;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<double> reference;
    std::vector<double> predicted;
    for (int i = 0; i < 30; ++i) {
      reference.push_back(15.0 + 2.0 * normal(random));
      predicted.push_back(reference.back() + kBias + normal(random));
    }
    const Agreement result = agreement(reference, predicted);
    held += result.rmsep_interval.low <= truth && truth <= result.rmsep_interval.high ? 1 : 0;
    held_by_sep += result.sep_interval.low <= truth && truth <= result.sep_interval.high ? 1 : 0;
  }
  EXPECT_GT(held, 0.94 * kRounds);
  EXPECT_LT(held, 0.985 * kRounds);
  EXPECT_LT(held_by_sep, 0.92 * kRounds);
}

TEST(Agreement, SquaredErrorSplitsIntoBiasAndSpread) {
  const Agreement result = agreement(kReference, kPredicted);
  EXPECT_NEAR(result.rmsep * result.rmsep,
              result.bias * result.bias + result.sep * result.sep * 0.9, 1e-12);
}

// Wrong on purpose: swapped sides change sign of the bias and regress the wrong way round.
TEST(Agreement, SidesAreNotInterchangeable) {
  const Agreement swapped =
      agreement(kPredicted, kReference);  // NOLINT(readability-suspicious-call-argument): the point
  EXPECT_NEAR(swapped.bias, -0.31, 1e-12);
  EXPECT_GT(std::abs(swapped.slope - 0.97295002426), 0.01);
}

TEST(Agreement, MissingPairsAreLeftOutAndCounted) {
  std::vector<double> reference = kReference;
  std::vector<double> predicted = kPredicted;
  reference.push_back(std::numeric_limits<double>::quiet_NaN());
  predicted.push_back(16.0);
  const Agreement result = agreement(reference, predicted);
  EXPECT_EQ(result.pairs, 10);
  EXPECT_EQ(result.left_out, 1);
  EXPECT_NEAR(result.bias, 0.31, 1e-12);
}

TEST(Agreement, PerfectPredictionHasNoSignificantAnything) {
  const Agreement result = agreement(kReference, kReference);
  EXPECT_EQ(result.bias, 0.0);
  EXPECT_FALSE(result.bias_significant);
  EXPECT_FALSE(result.slope_significant);
  EXPECT_NEAR(result.r_squared, 1.0, 1e-12);
}

// COMPUTED by two routes: F(0.95; 19, 99) = 1.6925651553.
TEST(UnexplainedErrorLimit, WorkedValue) {
  EXPECT_NEAR(unexplained_error_limit(1.0, 20, 99), 1.3009862241, 1e-9);
}

TEST(Agreement, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        agreement({1.0, 2.0}, {1.0, 2.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("pairs: 2")));
  EXPECT_THAT(
      [] {
        agreement({1.0, 2.0, 3.0}, {1.0, 2.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("predicted: 2 values")));
  EXPECT_THAT(
      [] {
        agreement({2.0, 2.0, 2.0}, {1.0, 2.0, 3.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("reference: all values equal")));
  EXPECT_THAT(
      [] {
        agreement({1.0, INFINITY, 3.0}, {1.0, 2.0, 3.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("pair 2: infinite")));
}

}  // namespace
}  // namespace maturity
