#include "libmaturity/drymatter/duplicates.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// AOAC 934.06 (dried fruit, READ): duplicates should agree within 0.2 %.
TEST(Duplicates, TwoTenthsPassMoreDoesNot) {
  EXPECT_FALSE(combine_duplicates({15.3, 15.1}, {0.15, 0.15}).too_far_apart);
  EXPECT_TRUE(combine_duplicates({15.31, 15.1}, {0.15, 0.15}).too_far_apart);
  EXPECT_FALSE(combine_duplicates({15.6, 15.1}, {0.15, 0.15}, 0.5).too_far_apart);
}

TEST(Duplicates, MeanHasTheErrorOfItsReadingsOrOfTheirSpread) {
  const Duplicates close = combine_duplicates({15.2, 15.2}, {0.15, 0.15});
  EXPECT_NEAR(close.mean_pct, 15.2, 1e-12);
  EXPECT_NEAR(close.error_sd_pct, 0.15 / std::sqrt(2.0), 1e-12);
  const Duplicates wide = combine_duplicates({14.0, 16.0}, {0.15, 0.15});
  EXPECT_NEAR(wide.error_sd_pct, 1.0, 1e-12);
  EXPECT_EQ(combine_duplicates({15.2}, {0.4}).error_sd_pct, 0.4);
}

TEST(CheekSd, FindsTheSpreadThatWasPutIn) {
  RandomStream stream(9);
  const auto normal = [&] {
    const double angle = 6.283185307179586 * stream.uniform();
    return std::sqrt(-2.0 * std::log(1.0 - stream.uniform())) * std::cos(angle);
  };
  std::vector<CheekPair> pairs;
  for (int i = 0; i < 4000; ++i) {
    const double fruit = 15.0 + normal();
    pairs.push_back(
        {fruit + std::hypot(0.5, 0.15) * normal(), fruit + std::hypot(0.5, 0.15) * normal()});
  }
  EXPECT_NEAR(cheek_sd_pct(pairs, 0.15).value(), 0.5, 0.02);
  pairs.resize(4);
  EXPECT_FALSE(cheek_sd_pct(pairs, 0.15).has_value());
}

TEST(FruitError, IsThatOfItsCheeksAndOfWhatTheyDifferBy) {
  EXPECT_DOUBLE_EQ(fruit_error_sd_pct({0.3}, 0.4), 0.5);
  EXPECT_DOUBLE_EQ(fruit_error_sd_pct({0.3, 0.3}, 0.4), 0.5 / std::sqrt(2.0));
  EXPECT_DOUBLE_EQ(fruit_error_sd_pct({0.15}, 0.0), 0.15);
  EXPECT_THROW(fruit_error_sd_pct({}, 0.4), std::invalid_argument);
  EXPECT_THROW(fruit_error_sd_pct({-0.1}, 0.4), std::invalid_argument);
  EXPECT_THROW(fruit_error_sd_pct({0.1}, -0.4), std::invalid_argument);
}

TEST(Duplicates, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        combine_duplicates({15.0, 99.0}, {0.1, 0.1});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("dm_pct: 99")));
  EXPECT_THAT([] { combine_duplicates({15.0}, {}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("error_sd_pct: 0")));
  EXPECT_THAT([] { combine_duplicates({15.0}, {0.1}, -0.2); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("limit_pct: -0.2")));
}

}  // namespace
}  // namespace maturity
