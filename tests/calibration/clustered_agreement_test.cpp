#include "libmaturity/calibration/clustered_agreement.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

#include "libmaturity/calibration/agreement.h"
#include "tests/calibration/normal_draws.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

const std::vector<double> kOven{13.2, 14.1, 14.8, 15.3, 15.9, 16.4, 17.0, 17.6, 18.3, 19.1};
const std::vector<double> kRead{13.6, 14.0, 15.2, 15.9, 16.0, 16.9, 17.1, 18.2, 18.4, 19.5};

std::vector<std::string> labels(std::size_t fruit, std::size_t size) {
  std::vector<std::string> all;
  for (std::size_t i = 0; i < fruit; ++i) {
    all.push_back("b" + std::to_string(i / size));
  }
  return all;
}

// Blocks of one fruit are independent fruit: bias and SEP must be the textbook's (t, chi-square).
TEST(ClusteredAgreement, BlocksOfOneFruitAreTheTextbooks) {
  const Agreement plain = agreement(kOven, kRead);
  const ClusteredAgreement one = clustered_agreement(kOven, kRead, labels(10, 1)).value();
  EXPECT_NEAR(one.bias, plain.bias, 1e-12);
  EXPECT_NEAR(one.bias_interval.low, plain.bias_interval.low, 1e-12);
  EXPECT_NEAR(one.bias_interval.high, plain.bias_interval.high, 1e-12);
  EXPECT_NEAR(one.sep, plain.sep, 1e-12);
  EXPECT_NEAR(one.sep_interval.low, plain.sep_interval.low, 1e-12);
  EXPECT_NEAR(one.sep_interval.high, plain.sep_interval.high, 1e-12);
  EXPECT_NEAR(one.slope, plain.slope, 1e-12);
  EXPECT_TRUE(one.bias_significant);
  EXPECT_FALSE(one.slope_significant);
}

// Leaving out a point moves a slope by x e / (Sxx (1 - h)): textbook (Cook and Weisberg 1982, from
// memory), another route to the jackknife.
TEST(ClusteredAgreement, JackknifeOfTheSlopeByLeverages) {
  const Agreement plain = agreement(kOven, kRead);
  double mean = 0.0;
  for (const double x : kRead) {
    mean += x / 10.0;
  }
  double sxx = 0.0;
  for (const double x : kRead) {
    sxx += (x - mean) * (x - mean);
  }
  double squares = 0.0;
  for (std::size_t i = 0; i < kRead.size(); ++i) {
    const double x = kRead[i] - mean;
    const double e = kOven[i] - plain.intercept - plain.slope * kRead[i];
    const double moved = x * e / (sxx * (1.0 - 0.1 - x * x / sxx));
    squares += moved * moved;
  }
  constexpr double kStudent9 = 2.262157162740992;  // table, t(0.975; 9)
  const Bounds interval = clustered_agreement(kOven, kRead, labels(10, 1))->slope_interval.value();
  EXPECT_NEAR(interval.high - plain.slope, kStudent9 * std::sqrt(0.9 * squares), 1e-9);
}

// Errors 1 2 | 3 5 | 2 5: block means 1.5, 4, 3.5. Mean 3, variance between 1.75, within
// (0.5 + 2 + 4.5)/3 = 7/3, so SEP^2 = 1.75 + (1 - 1/2) 7/3, and RMSEP^2 = 68/6, the mean square.
TEST(ClusteredAgreement, ByHand) {
  const std::vector<double> oven{10, 11, 12, 13, 14, 15};
  const std::vector<double> read{11, 13, 15, 18, 16, 20};
  const ClusteredAgreement found = clustered_agreement(oven, read, labels(6, 2)).value();
  EXPECT_EQ(found.clusters, 3);
  EXPECT_NEAR(found.bias, 3.0, 1e-12);
  EXPECT_NEAR(found.sep, std::sqrt(1.75 + 7.0 / 6.0), 1e-12);
  EXPECT_NEAR(found.rmsep, std::sqrt(68.0 / 6.0), 1e-12);
  constexpr double kStudent2 = 4.302652729911275;  // table, t(0.975; 2)
  EXPECT_NEAR(found.bias_interval.high, 3.0 + kStudent2 * std::sqrt(1.75 / 3.0), 1e-9);
  // Limits of the sum with chi-square of 2 and 3 degrees (tables 0.0506356, 7.3777589; 0.2157953,
  // 9.3484036).
  const double low =
      std::hypot(1.75 * (1.0 - 2.0 / 7.3777589), 7.0 / 6.0 * (1.0 - 3.0 / 9.3484036));
  const double high =
      std::hypot(1.75 * (2.0 / 0.0506356 - 1.0), 7.0 / 6.0 * (3.0 / 0.2157953 - 1.0));
  EXPECT_NEAR(found.sep_interval.low, std::sqrt(1.75 + 7.0 / 6.0 - low), 1e-6);
  EXPECT_NEAR(found.sep_interval.high, std::sqrt(1.75 + 7.0 / 6.0 + high), 1e-4);
}

TEST(ClusteredAgreement, OrderAndNamesOfBlocksDoNotMatter) {
  const ClusteredAgreement one =
      clustered_agreement({10, 11, 12, 13, 14, 15}, {11, 13, 15, 18, 16, 20}, labels(6, 2)).value();
  const ClusteredAgreement other =
      clustered_agreement({15, 12, 10, 14, 13, 11}, {20, 15, 11, 16, 18, 13},
                          {"x", "y", "z", "x", "y", "z"})
          .value();
  EXPECT_NEAR(one.sep_interval.high, other.sep_interval.high, 1e-9);
  EXPECT_NEAR(one.slope_interval->low, other.slope_interval->low, 1e-9);
}

// Two fruit of a block count no more than their mean does for the bias of another block.
TEST(ClusteredAgreement, TwoBlocksCannotTell) {
  EXPECT_FALSE(clustered_agreement(kOven, kRead, labels(10, 5)).has_value());
  EXPECT_TRUE(clustered_agreement(kOven, kRead, labels(10, 4)).has_value());
}

// Blocks x visits x fruit, each with an error of its own: ranges must hold what another block's
// fruit show as often as they say. Wrong on purpose: fruit taken as independent hold it seldom, and
// with visits taken for blocks too seldom as well.
TEST(ClusteredAgreement, RangesHoldTheTruthOfOtherBlocks) {
  constexpr int kRounds = 1000;
  constexpr int kBlocks = 5;
  const double truth = std::sqrt(0.6 * 0.6 + 0.3 * 0.3 + 0.7 * 0.7);
  RandomStream stream(20261126);
  int bias = 0;
  int sep = 0;
  int rmsep = 0;
  int bias_by_fruit = 0;
  int bias_by_visit = 0;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<double> oven;
    std::vector<double> read;
    std::vector<std::string> block;
    std::vector<std::string> visit;
    for (int b = 0; b < kBlocks; ++b) {
      const double of_block = 0.5 + 0.6 * draws::normal(stream);
      for (int v = 0; v < 3; ++v) {
        const double of_visit = of_block + 0.3 * draws::normal(stream);
        for (int i = 0; i < 4 + 3 * b; ++i) {
          oven.push_back(16.0 + draws::normal(stream));
          read.push_back(oven.back() + of_visit + 0.7 * draws::normal(stream));
          block.push_back(std::to_string(b));
          visit.push_back(std::to_string(b) + " " + std::to_string(v));
        }
      }
    }
    const auto holds = [](const Bounds& range, double value) {
      return range.low <= value && value <= range.high ? 1 : 0;
    };
    const ClusteredAgreement found = clustered_agreement(oven, read, block, visit).value();
    bias += holds(found.bias_interval, 0.5);
    sep += holds(found.sep_interval, truth);
    rmsep += holds(found.rmsep_interval, std::hypot(0.5, truth));
    bias_by_fruit += holds(agreement(oven, read).bias_interval, 0.5);
    bias_by_visit += holds(clustered_agreement(oven, read, visit)->bias_interval, 0.5);
  }
  for (const int held : {bias, sep, rmsep}) {
    EXPECT_GT(held, 0.92 * kRounds);
    EXPECT_LT(held, 0.985 * kRounds);
  }
  EXPECT_LT(bias_by_fruit, 0.6 * kRounds);
  EXPECT_LT(bias_by_visit, 0.9 * kRounds);
}

// Levels of blocks of SD 1 predicted by the mean of the others: SEP^2 is 1 + 1/(k-1) on average.
// Wrong on purpose: taken for errors that owe nothing to the other blocks it comes out k/(k-1) too
// large.
TEST(ClusteredAgreement, LeftOutBlocksAreNotTakenForOthers) {
  constexpr int kRounds = 4000;
  constexpr int kBlocks = 4;
  RandomStream stream(77);
  double left_out = 0.0;
  double others = 0.0;
  int held = 0;
  const double truth = 1.0 + 1.0 / (kBlocks - 1.0);
  for (int round = 0; round < kRounds; ++round) {
    std::vector<double> oven;
    oven.reserve(kBlocks);
    double sum = 0.0;
    for (int b = 0; b < kBlocks; ++b) {
      oven.push_back(draws::normal(stream));
      sum += oven.back();
    }
    std::vector<double> predicted;
    predicted.reserve(kBlocks);
    for (const double own : oven) {
      predicted.push_back((sum - own) / (kBlocks - 1.0));
    }
    const auto found =
        clustered_agreement(oven, predicted, labels(kBlocks, 1), {}, PredictedBy::left_out_blocks);
    left_out += found->sep * found->sep / kRounds;
    held +=
        found->sep_interval.low <= std::sqrt(truth) && std::sqrt(truth) <= found->sep_interval.high
            ? 1
            : 0;
    const auto wrong = clustered_agreement(oven, predicted, labels(kBlocks, 1));
    others += wrong->sep * wrong->sep / kRounds;
  }
  EXPECT_NEAR(left_out, truth, 0.06);
  EXPECT_GT(others, truth + 0.3);
  EXPECT_NEAR(held, 0.95 * kRounds, 0.015 * kRounds);
}

TEST(ClusteredAgreement, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        clustered_agreement({1.0, 2.0, 3.0}, {1.0, 2.5, 3.0}, {"a", "b"});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("cluster, visit: 2 labels")));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto found =
      clustered_agreement({1.0, 2.0, 3.0, nan}, {1.5, 2.0, 3.0, 4.0}, {"a", "b", "c", "d"});
  EXPECT_EQ(found->clusters, 3);
}

}  // namespace
}  // namespace maturity
