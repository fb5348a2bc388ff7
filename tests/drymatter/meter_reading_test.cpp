#include "libmaturity/drymatter/meter_reading.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(MeterReadings, ReplicatesAreMeanedInstrumentsKeptApart) {
  const auto values = combine_meter_readings({{"1", "A", "", 15.0},
                                              {"1", "B", "", 17.0},
                                              {"1", "A", "", 16.0},
                                              {"2", "A", "", 14.0},
                                              {"1", "A", "new", 18.0}});
  ASSERT_EQ(values.size(), 4U);
  EXPECT_NEAR(values[0].dm_pct, 15.5, 1e-12);
  EXPECT_EQ(values[0].readings, 2);
  EXPECT_EQ(values[1].meter, "B");
  EXPECT_EQ(values[3].setting, "new");
  // Pooled repeat variance of A: 0.5 with 1 degree: SE of two 0.5, of one sqrt 0.5.
  EXPECT_NEAR(values[0].repeat_se_pct.value(), 0.5, 1e-12);
  EXPECT_NEAR(values[2].repeat_se_pct.value(), std::sqrt(0.5), 1e-12);
  EXPECT_FALSE(values[1].repeat_se_pct.has_value());
}

TEST(MeterReadings, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        combine_meter_readings({{"1", "A", "", 15.0}, {"2", "A", "", 150.0}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("dm_pct, row 2: 150")));
  EXPECT_THAT(
      [] {
        combine_meter_readings({{"1", "", "", 15.0}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("row 1: blank")));
}

}  // namespace
}  // namespace maturity
