#include "libmaturity/field/walk_result.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "tests/values/dyestuff.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// Batches stand for trees. Published fit: see the values.
TEST(WalkResult, DyestuffMatchesThePublishedFit) {
  const WalkResult result = walk_result(values::kDyestuff, {});
  EXPECT_EQ(result.trees, 6);
  EXPECT_EQ(result.fruit, 30);
  EXPECT_NEAR(result.mean, values::kDyestuffMean, 1e-9);
  EXPECT_NEAR(result.between_variance.value(), values::kDyestuffBetweenVariance, 1e-6);
  EXPECT_NEAR(result.within_variance.value(), values::kDyestuffWithinVariance, 1e-6);
  EXPECT_NEAR(result.random_error.value(), values::kDyestuffClusteredSe, 1e-6);
  // Wrong on purpose: the error that ignores the batches.
  EXPECT_GT(result.random_error.value() - values::kDyestuffNaiveSe, 5.0);
  EXPECT_FALSE(result.balanced_error.has_value());
}

TEST(WalkResult, TrendIsCredited) {
  std::vector<std::vector<double>> rising;
  std::vector<TreePlace> places;
  for (int tree = 0; tree < 12; ++tree) {
    rising.push_back({14.0 + 0.2 * tree});
    places.push_back({5.0 * tree, 0.0});
  }
  const WalkResult result = walk_result(rising, places);
  EXPECT_FALSE(result.between_variance.has_value());
  EXPECT_LT(result.balance.value(), 0.25);
  EXPECT_LT(result.balanced_error.value(), result.random_error.value());
}

TEST(WalkResult, TooLittleSaysLess) {
  const WalkResult one = walk_result({{15.0, 16.0}}, {});
  EXPECT_FALSE(one.random_error.has_value());
  const WalkResult few = walk_result({{15.0}, {16.0}, {14.0}}, {{0, 0}, {5, 0}, {10, 0}});
  EXPECT_TRUE(few.random_error.has_value());
  EXPECT_FALSE(few.balance.has_value());
}

TEST(WalkResult, BadInputIsNamed) {
  EXPECT_THAT([] { walk_result({}, {}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("no tree")));
  EXPECT_THAT(
      [] {
        walk_result({{15.0}, {}}, {});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("tree 2: no fruit")));
  EXPECT_THAT(
      [] {
        walk_result({{15.0}, {NAN}}, {});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("tree 2: nan")));
}

}  // namespace
}  // namespace maturity
