#include "libmaturity/field/fruit_mass.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// Factor and RMSE READ (Amaral and Walsh 2023, abstract); the product COMPUTED by two routes.
TEST(FruitMass, WorkedFruit) {
  const FruitMass mass = estimate_fruit_mass(120.0, 90.0, 80.0);
  EXPECT_NEAR(mass.mass_g, 472.7808, 1e-9);
  EXPECT_NEAR(mass.error_sd_g, 29.9, 1e-12);
  // Wrong on purpose: the ellipsoid at density 1 is another number.
  EXPECT_GT(std::abs(452.38934 - mass.mass_g), 1.0);
}

TEST(FruitMass, ErrorsOfSizeAreAdded) {
  // 10 % of thickness is 10 % of mass: hypot(29.9, 47.27808).
  EXPECT_NEAR(estimate_fruit_mass(120.0, 90.0, 80.0, 0.0, 0.0, 8.0).error_sd_g, 55.9389, 1e-3);
}

TEST(FruitMass, CentimetresAreRefused) {
  EXPECT_THAT([] { estimate_fruit_mass(12.0, 9.0, 8.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("length_mm: 12")));
  EXPECT_THAT([] { estimate_fruit_mass(120.0, 90.0, 80.0, -1.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("length_mm: -1")));
}

}  // namespace
}  // namespace maturity
