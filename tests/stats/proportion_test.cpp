#include "libmaturity/stats/proportion.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "tests/values/proportion_intervals.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(ProportionInterval, MatchesTheWorkedCases) {
  for (const values::ProportionCase& each : values::kProportions) {
    const Bounds exact =
        proportion_interval(each.count, each.n, each.level, ProportionMethod::clopper_pearson);
    const Bounds wilson = proportion_interval(each.count, each.n, each.level);
    EXPECT_NEAR(exact.low, each.exact_low, 1e-8) << each.count << "/" << each.n;
    EXPECT_NEAR(exact.high, each.exact_high, 1e-8) << each.count << "/" << each.n;
    EXPECT_NEAR(wilson.low, each.wilson_low, 1e-8) << each.count << "/" << each.n;
    EXPECT_NEAR(wilson.high, each.wilson_high, 1e-8) << each.count << "/" << each.n;
  }
}

double binomial_cdf(int k, int n, double p) {
  double sum = 0.0;
  for (int i = 0; i <= k; ++i) {
    sum += std::exp(std::lgamma(n + 1.0) - std::lgamma(i + 1.0) - std::lgamma(n - i + 1.0) +
                    i * std::log(p) + (n - i) * std::log1p(-p));
  }
  return sum;
}

// Slow plain twin: at its ends the exact interval leaves 2.5 % of binomial probability.
TEST(ProportionInterval, ExactEndsLeaveTheStatedTails) {
  const Bounds bounds = proportion_interval(7, 40, 0.95, ProportionMethod::clopper_pearson);
  EXPECT_NEAR(binomial_cdf(7, 40, bounds.high), 0.025, 1e-10);
  EXPECT_NEAR(1.0 - binomial_cdf(6, 40, bounds.low), 0.025, 1e-10);
}

// Exact coverage by summing over all counts: the Clopper-Pearson level is a promise, the normal
// interval (wrong on purpose) breaks it.
TEST(ProportionInterval, ExactNeverCoversLessThanStated) {
  for (const double p : {0.02, 0.05, 0.1}) {
    double exact = 0.0;
    double normal = 0.0;
    for (int k = 0; k <= 30; ++k) {
      const double chance = binomial_cdf(k, 30, p) - (k > 0 ? binomial_cdf(k - 1, 30, p) : 0.0);
      const Bounds bounds = proportion_interval(k, 30, 0.95, ProportionMethod::clopper_pearson);
      exact += bounds.low <= p && p <= bounds.high ? chance : 0.0;
      const double half = 1.96 * std::sqrt(k / 30.0 * (1.0 - k / 30.0) / 30.0);
      normal += std::abs(k / 30.0 - p) <= half ? chance : 0.0;
    }
    EXPECT_GE(exact, 0.95);
    EXPECT_LT(normal, 0.95);
  }
}

TEST(ProportionInterval, MirrorsWhenGoodAndBadSwap) {
  for (const auto method : {ProportionMethod::wilson, ProportionMethod::clopper_pearson}) {
    const Bounds bad = proportion_interval(3, 50, 0.9, method);
    const Bounds good = proportion_interval(47, 50, 0.9, method);
    EXPECT_NEAR(bad.low, 1.0 - good.high, 1e-12);
    EXPECT_NEAR(bad.high, 1.0 - good.low, 1e-12);
  }
}

// COMPUTED by two routes: 1 - 0.05^(1/n).
TEST(ProportionUpperBound, NoneFound) {
  EXPECT_NEAR(proportion_upper_bound(0, 30), 0.0950338529, 1e-9);
  EXPECT_NEAR(proportion_upper_bound(0, 59), 0.0495076099, 1e-9);
  EXPECT_EQ(proportion_upper_bound(5, 5), 1.0);
}

// READ: 384.16 and 370; the finite ones COMPUTED by two routes with z = 1.96 exactly.
TEST(ProportionSampleSize, CochranExamples) {
  EXPECT_NEAR(proportion_sample_size(0.5, 0.05, 1.96), 384.16, 1e-9);
  EXPECT_NEAR(proportion_sample_size(0.5, 0.05, 1.96, 500), 217.49173, 1e-5);
  EXPECT_NEAR(proportion_sample_size(0.5, 0.05, 1.96, 1000), 277.74083, 1e-5);
  EXPECT_NEAR(proportion_sample_size(0.5, 0.05, 1.96, 10000), 369.9837, 1e-4);
  // The variant without "-1" (wrong here) is off by more than the bar.
  EXPECT_GT(std::abs(384.16 / (1.0 + 384.16 / 10000.0) - 369.9837), 1e-3);
}

TEST(ProportionInterval, BadInputIsNamed) {
  EXPECT_THAT([] { proportion_interval(5, 0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("n: 0")));
  EXPECT_THAT([] { proportion_interval(6, 5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("count: 6")));
  EXPECT_THAT([] { proportion_interval(-1, 5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("count: -1")));
  EXPECT_THAT([] { proportion_interval(1, 5, 95.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("level: 95")));
}

}  // namespace
}  // namespace maturity
