#include "libmaturity/stats/shrinkage.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/one_way.h"
#include "tests/values/dyestuff.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

const std::vector<double> kRaw{14.0, 15.2, 13.1, 16.0};
const std::vector<double> kErrors{0.09, 0.25, 0.64, 0.16};

// COMPUTED by two routes (closed form; Henderson's mixed model equations), spread known: 0.36.
TEST(Shrinkage, MatchesTheWorkedSet) {
  const Shrinkage result = shrink_values(kRaw, kErrors, 0.36);
  constexpr std::array<double, 4> kWeight{0.8, 0.590163934, 0.36, 0.692307692};
  constexpr std::array<double, 4> kValue{14.14483788, 15.00499566, 14.13948123, 15.6074429};
  constexpr std::array<double, 4> kOwn{0.072, 0.14754098, 0.2304, 0.11076923};
  constexpr std::array<double, 4> kCommon{0.0058956673, 0.024756732, 0.060371633, 0.013954242};
  EXPECT_NEAR(result.common_value, 14.724189418, 1e-9);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(result.values[i].weight, kWeight.at(i), 1e-9);
    EXPECT_NEAR(result.values[i].value, kValue.at(i), 1e-8);
    EXPECT_NEAR(result.values[i].own_error, kOwn.at(i), 1e-8);
    EXPECT_NEAR(result.values[i].common_error, kCommon.at(i), 1e-8);
    EXPECT_EQ(result.values[i].spread_error, 0.0);
  }
  EXPECT_FALSE(result.spread_estimated);
}

// Balanced groups: the estimated spread and the shrunk means are those of the variance components.
TEST(Shrinkage, BalancedGroupsAgreeWithTheirVarianceComponents) {
  std::vector<double> means;
  means.reserve(values::kDyestuff.size());
  for (const auto& batch : values::kDyestuff) {
    means.push_back((batch[0] + batch[1] + batch[2] + batch[3] + batch[4]) / 5.0);
  }
  const Shrinkage result =
      shrink_values(means, std::vector<double>(6, values::kDyestuffWithinVariance / 5.0));
  EXPECT_NEAR(result.between_variance, values::kDyestuffBetweenVariance, 1e-6);
  for (std::size_t g = 0; g < 6; ++g) {
    EXPECT_NEAR(result.values[g].value - result.common_value, values::kDyestuffEffects.at(g), 1e-5);
    EXPECT_GT(result.values[g].spread_error, 0.0);
  }
}

TEST(Shrinkage, NoMoreSpreadThanNoiseDrawsAllToOneValue) {
  const Shrinkage result = shrink_values({1.0, 1.1, 0.9}, {1.0, 1.0, 1.0});
  EXPECT_EQ(result.between_variance, 0.0);
  EXPECT_NEAR(result.values[1].value, 1.0, 1e-12);
}

TEST(Shrinkage, BadInputIsNamed) {
  EXPECT_THAT([] { shrink_values({1.0}, {1.0}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("values: 1")));
  EXPECT_THAT(
      [] {
        shrink_values({1.0, 2.0}, {1.0, 0.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("error_variances: 0")));
  EXPECT_THAT(
      [] {
        shrink_values({1.0, NAN}, {1.0, 1.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("values: nan")));
}

}  // namespace
}  // namespace maturity
