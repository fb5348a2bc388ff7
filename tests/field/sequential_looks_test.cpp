#include "libmaturity/field/sequential_looks.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include "tests/values/look_bounds.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(LookBounds, OneLookIsTheNormalQuantile) {
  EXPECT_NEAR(look_bounds({1.0}, 0.1).front(), 1.281551566, 1e-6);
  EXPECT_NEAR(look_bounds({1.0}, 0.025).front(), 1.959963985, 1e-6);
}

TEST(LookBounds, FiveEqualStepsMatchTheKnownTable) {
  const auto bounds = look_bounds({0.2, 0.4, 0.6, 0.8, 1.0}, 0.025);
  for (std::size_t i = 0; i < bounds.size(); ++i) {
    EXPECT_NEAR(bounds[i], values::kFiveLookBounds.at(i), 2e-4) << i;
  }
}

// Wrong on purpose: the same look repeated at the plain quantile spends far too much.
double false_ready(const std::vector<double>& fraction, const std::vector<double>& bounds) {
  std::mt19937_64 engine(2027);
  std::normal_distribution<double> normal;
  constexpr int kRuns = 40000;
  int ready = 0;
  for (int run = 0; run < kRuns; ++run) {
    double sum = 0.0;
    double time = 0.0;
    for (std::size_t look = 0; look < fraction.size(); ++look) {
      sum += std::sqrt(fraction[look] - time) * normal(engine);
      time = fraction[look];
      if (sum / std::sqrt(time) >= bounds[look]) {
        ++ready;
        break;
      }
    }
  }
  return static_cast<double>(ready) / kRuns;
}

TEST(LookBounds, FalseReadyStaysAtTheErrorHoweverOftenOneLooks) {
  const std::vector<std::vector<double>> plans{
      {1.0}, {0.5, 1.0}, {0.3, 0.35, 0.9, 1.0}, {0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0}};
  for (const auto& fraction : plans) {
    // Monte Carlo SD 0.0015.
    EXPECT_NEAR(false_ready(fraction, look_bounds(fraction, 0.1)), 0.1, 0.006) << fraction.size();
  }
  const std::vector<double> plain(10, 1.281551566);
  EXPECT_GT(false_ready(plans.back(), plain), 0.2);
}

TEST(LookBounds, LooksToComeDoNotChangeThoseMade) {
  const auto two = look_bounds({0.3, 0.7}, 0.1);
  const auto three = look_bounds({0.3, 0.7, 1.0}, 0.1);
  EXPECT_EQ(two[0], three[0]);
  EXPECT_EQ(two[1], three[1]);
}

TEST(LookBounds, NothingIsSpentAtTheVeryBeginning) {
  EXPECT_EQ(look_bounds({0.01, 1.0}, 0.1).front(), std::numeric_limits<double>::infinity());
  EXPECT_NEAR(spent_error(1.0, 0.1), 0.1, 1e-12);
  EXPECT_LT(spent_error(0.5, 0.1), 0.025);
}

TEST(JudgeLook, EarlyLookNeedsMoreThanTheLast) {
  const Look half = judge_look(0.93, 0.5, {}, 0.9);
  EXPECT_GT(half.needed, 0.97);
  EXPECT_EQ(half.verdict, LookVerdict::go_on);
  EXPECT_EQ(judge_look(0.995, 0.5, {}, 0.9).verdict, LookVerdict::ready);
  EXPECT_EQ(judge_look(0.005, 0.5, {}, 0.9).verdict, LookVerdict::not_yet);
  EXPECT_EQ(judge_look(-2e-16, 0.5, {}, 0.9).verdict, LookVerdict::not_yet);
  const Look end = judge_look(0.93, 1.0, {0.5}, 0.9);
  EXPECT_GT(end.needed, 0.9);
  EXPECT_LT(end.needed, 0.92);
  EXPECT_EQ(end.verdict, LookVerdict::ready);
  EXPECT_EQ(judge_look(0.6, 1.0, {0.5}, 0.9).verdict, LookVerdict::undecided);
  EXPECT_NEAR(judge_look(0.6, 1.0, {}, 0.9).needed, 0.9, 1e-6);
  EXPECT_NEAR(end.spent, 1.0, 1e-12);
}

TEST(JudgeLook, BadInputIsNamed) {
  EXPECT_THAT([] { judge_look(93.0, 0.5, {}, 0.9); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("readiness: 93")));
  EXPECT_THAT([] { judge_look(0.9, 0.5, {0.5}, 0.9); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("fraction: 0.5")));
  EXPECT_THAT([] { judge_look(0.9, 1.5, {}, 0.9); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("fraction: 1.5")));
  EXPECT_THAT([] { judge_look(0.9, 0.5, {}, 90.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("confidence: 90")));
}

}  // namespace
}  // namespace maturity
