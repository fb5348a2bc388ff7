#include "libmaturity/picked/share_cost.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(ShareCost, CarriesTheIntervalThrough) {
  const ShareCost cost = cost_of_share(0.1, {0.05, 0.18}, {2000.0, 450.0, 3.0, 16.0});
  EXPECT_NEAR(cost.fruit.value, 200.0, 1e-9);
  EXPECT_NEAR(cost.mass_kg.value, 90.0, 1e-9);
  EXPECT_NEAR(cost.money->value, 270.0, 1e-9);
  EXPECT_NEAR(cost.money->interval.low, 135.0, 1e-9);
  EXPECT_NEAR(cost.money->interval.high, 486.0, 1e-9);
  EXPECT_NEAR(cost.trays->value, 12.5, 1e-9);
}

TEST(ShareCost, UnknownPriceIsNoMoneyNotZero) {
  const ShareCost cost =
      cost_of_share(0.1, {0.05, 0.18}, {2000.0, 450.0, std::nullopt, std::nullopt});
  EXPECT_FALSE(cost.money.has_value());
  EXPECT_FALSE(cost.trays.has_value());
}

TEST(ShareCost, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        cost_of_share(0.2, {0.05, 0.18}, {2000.0, 450.0, 3.0, 16.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("share: 0.2")));
  EXPECT_THAT(
      [] {
        cost_of_share(0.1, {0.05, 0.18}, {0.0, 450.0, 3.0, 16.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("fruit: 0")));
}

}  // namespace
}  // namespace maturity
