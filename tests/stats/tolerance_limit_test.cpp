#include "libmaturity/stats/tolerance_limit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/random_stream.h"
#include "tests/values/tolerance_factors.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(ToleranceFactor, MatchesTheTable) {
  for (const values::ToleranceRow& row : values::kToleranceFactors) {
    for (std::size_t c = 0; c < values::kToleranceCases.size(); ++c) {
      const auto& [share, confidence] = values::kToleranceCases.at(c);
      EXPECT_NEAR(tolerance_factor(row.n, share, confidence), row.factor.at(c), 6e-6) << row.n;
    }
  }
}

TEST(ToleranceFactor, HandbookApproximationIsCloseButNotExact) {
  EXPECT_NEAR(approximate_tolerance_factor(43, 0.90, 0.99), values::kApproximateFactor43, 1e-8);
  EXPECT_NEAR(tolerance_factor(43, 0.90, 0.99), 1.87395, 6e-6);
  // Wrong on purpose: taking one for the other breaks the bar of the table.
  EXPECT_GT(std::abs(approximate_tolerance_factor(43, 0.90, 0.99) - 1.87395), 1e-4);
}

TEST(ToleranceFactor, ApproachesTheNormalQuantileForManyFruit) {
  EXPECT_NEAR(tolerance_factor(5000, 0.90, 0.95), approximate_tolerance_factor(5000, 0.90, 0.95),
              1e-4);
  EXPECT_NEAR(tolerance_factor(5000, 0.90, 0.95), 1.2815516, 0.05);
}

// Random samples: the limit keeps its promise with the stated confidence.
TEST(ToleranceFactor, LimitHoldsAsOftenAsStated) {
  RandomStream stream(5);
  int kept = 0;
  constexpr int kRuns = 4000;
  for (int run = 0; run < kRuns; ++run) {
    std::vector<double> values;
    for (int i = 0; i < 15; ++i) {
      const double angle = 6.283185307179586 * stream.uniform();
      values.push_back(std::sqrt(-2.0 * std::log(1.0 - stream.uniform())) * std::cos(angle));
    }
    kept += lower_tolerance_limit(values, 0.90, 0.95) <= -1.2815515655 ? 1 : 0;
  }
  EXPECT_NEAR(static_cast<double>(kept) / kRuns, 0.95, 0.012);
}

TEST(DistributionFreeSampleSize, TextbookNumbers) {
  EXPECT_EQ(distribution_free_sample_size(0.95, 0.95), 59);
  EXPECT_EQ(distribution_free_sample_size(0.90, 0.95), 29);
  EXPECT_LT(1.0 - std::pow(0.95, 58), 0.95);  // one fruit fewer does not do
}

TEST(ToleranceFactor, BadInputIsNamed) {
  EXPECT_THAT([] { tolerance_factor(1, 0.9, 0.95); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("n: 1")));
  EXPECT_THAT([] { tolerance_factor(10, 90.0, 0.95); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("share: 90")));
  EXPECT_THAT([] { tolerance_factor(10, 0.9, 1.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("confidence: 1")));
}

}  // namespace
}  // namespace maturity
