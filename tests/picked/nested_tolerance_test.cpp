#include "libmaturity/picked/nested_tolerance.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

/// 10 / 5 / 2 %: United States Standards for Grades of Mangos, 2007, 51.1043 (READ).
std::vector<Tolerance> fancy(int failing, int damaged, int decayed) {
  return {{"failing", failing, 0.10}, {"damaged", damaged, 0.05}, {"decayed", decayed, 0.02}};
}

TEST(NestedTolerances, CountInTheSampleIsWhatTheStandardAsks) {
  EXPECT_TRUE(check_nested_tolerances(100, fancy(10, 5, 2)).met_in_sample);
  EXPECT_FALSE(check_nested_tolerances(100, fancy(11, 5, 2)).met_in_sample);
  EXPECT_FALSE(check_nested_tolerances(100, fancy(10, 6, 2)).met_in_sample);
  const NestedTolerances rotten = check_nested_tolerances(100, fancy(4, 3, 3));
  EXPECT_FALSE(rotten.met_in_sample);
  EXPECT_TRUE(rotten.checks[0].met_in_sample);
  EXPECT_FALSE(rotten.checks[2].met_in_sample);
}

TEST(NestedTolerances, OneSampleSaysLessOfTheLoad) {
  const NestedTolerances close = check_nested_tolerances(100, fancy(9, 4, 1));
  EXPECT_TRUE(close.met_in_sample);
  EXPECT_EQ(close.state, ToleranceState::cannot_tell);
  EXPECT_EQ(check_nested_tolerances(1000, fancy(20, 10, 3)).state, ToleranceState::within);
  EXPECT_EQ(check_nested_tolerances(1000, fancy(60, 55, 50)).state, ToleranceState::over);
  // Fruit of one bin count for less.
  EXPECT_EQ(check_nested_tolerances(1000, fancy(70, 30, 10), 0.95, 1.0).checks[0].state,
            ToleranceState::within);
  EXPECT_EQ(check_nested_tolerances(1000, fancy(70, 30, 10), 0.95, 4.0).checks[0].state,
            ToleranceState::cannot_tell);
}

// Clopper and Pearson 95 % for 10 of 100: 0.0490046892, 0.176222598 (COMPUTED by two routes).
TEST(NestedTolerances, IntervalsAreExact) {
  const ToleranceCheck one = check_nested_tolerances(100, fancy(10, 0, 0)).checks[0];
  EXPECT_NEAR(one.interval.low, 0.0490046892, 1e-9);
  EXPECT_NEAR(one.interval.high, 0.176222598, 1e-9);
}

TEST(NestedTolerances, BadInputIsNamed) {
  EXPECT_THAT([] { check_nested_tolerances(100, fancy(5, 6, 0)); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("damaged: found: 6")));
  EXPECT_THAT([] { check_nested_tolerances(0, fancy(0, 0, 0)); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("checked: 0")));
  EXPECT_THAT(
      [] {
        check_nested_tolerances(9, {{"all", 1, 0.05}, {"some", 1, 0.1}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("some: limit: 0.1")));
  EXPECT_THAT([] { check_nested_tolerances(9, {}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("tolerances: none")));
}

}  // namespace
}  // namespace maturity
