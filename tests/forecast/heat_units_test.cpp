#include "libmaturity/forecast/heat_units.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "tests/values/heat_units.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr double kLower = 12.0;
constexpr double kUpper = 32.0;

double with(HeatMethod method, double tmin, double tmax,
            HeatCutoff cutoff = HeatCutoff::horizontal) {
  return degree_days(tmin, tmax, kLower, kUpper, method, cutoff);
}

TEST(DegreeDays, MatchTheWorkedTable) {
  for (const values::HeatRow& row : values::kHeatRows) {
    const double low = row.tmin;
    const double high = row.tmax;
    EXPECT_EQ(with(HeatMethod::simple_average, low, high), row.simple);
    EXPECT_EQ(with(HeatMethod::clamped, low, high), row.clamped);
    EXPECT_EQ(with(HeatMethod::reflected, low, high), row.reflected);
    EXPECT_NEAR(with(HeatMethod::single_triangle, low, high), row.triangle, 5e-8);
    EXPECT_NEAR(with(HeatMethod::single_sine, low, high), row.sine_horizontal, 5e-9);
    EXPECT_NEAR(with(HeatMethod::single_sine, low, high, HeatCutoff::intermediate),
                row.sine_intermediate, 5e-7);
    EXPECT_NEAR(with(HeatMethod::single_sine, low, high, HeatCutoff::vertical), row.sine_vertical,
                5e-8);
  }
}

// READ: Iowa State Agron 541 (70/50 F, base 50: 10), UC IPM (mean 64 F, base 53: 11); Met Eireann
// rule READ, its value COMPUTED by two routes.
TEST(DegreeDays, PublishedExamples) {
  EXPECT_EQ(degree_days(50, 70, 50, std::nullopt, HeatMethod::simple_average), 10.0);
  EXPECT_EQ(degree_days(54, 74, 53, std::nullopt, HeatMethod::simple_average), 11.0);
  EXPECT_EQ(degree_days(8, 26, 12, std::nullopt, HeatMethod::four_case), 6.0);
}

// Slow plain twin: the day in 200,000 steps.
double by_steps(double tmin, double tmax, bool sine, HeatCutoff cutoff) {
  constexpr int kSteps = 200000;
  double sum = 0.0;
  for (int i = 0; i < kSteps; ++i) {
    const double phase = (i + 0.5) / kSteps;
    const double wave = sine ? (1.0 + std::sin(2.0 * std::numbers::pi * phase)) / 2.0
                             : 1.0 - std::abs(2.0 * phase - 1.0);
    const double now = tmin + (tmax - tmin) * wave;
    double counted = std::max(0.0, std::min(now, kUpper) - kLower);
    if (now > kUpper && cutoff == HeatCutoff::vertical) {
      counted = 0.0;
    } else if (now > kUpper && cutoff == HeatCutoff::intermediate) {
      counted -= now - kUpper;
    }
    sum += counted / kSteps;
  }
  return sum;
}

TEST(DegreeDays, AgreeWithAddingUpTheDay) {
  for (const values::HeatRow& row : values::kHeatRows) {
    for (const auto cutoff :
         {HeatCutoff::horizontal, HeatCutoff::intermediate, HeatCutoff::vertical}) {
      EXPECT_NEAR(with(HeatMethod::single_sine, row.tmin, row.tmax, cutoff),
                  by_steps(row.tmin, row.tmax, true, cutoff), 2e-4);
      EXPECT_NEAR(with(HeatMethod::single_triangle, row.tmin, row.tmax, cutoff),
                  by_steps(row.tmin, row.tmax, false, cutoff), 2e-4);
    }
  }
}

// Two mistakes read in public implementations; both must miss the table.
double sine_with_wrong_argument(double tmin, double tmax) {
  const double mean = (tmin + tmax) / 2.0;
  const double amplitude = (tmax - tmin) / 2.0;
  const double degrees = std::numbers::pi / 180.0;
  const double crossing = std::asin((kLower - (tmax + tmin)) / amplitude * degrees);
  return ((mean - kLower) * (std::numbers::pi / 2.0 - crossing) + amplitude * std::cos(crossing)) /
         std::numbers::pi;
}

TEST(DegreeDays, WrongSineArgumentWouldMissTheTable) {
  EXPECT_GT(std::abs(sine_with_wrong_argument(8, 26) - 5.819484979), 0.1);
}

TEST(DegreeDays, NothingAboveTheUpperThresholdWouldMissTheTable) {
  const auto mistaken = [](double tmin, double tmax) {
    return tmin >= kUpper ? 0.0 : with(HeatMethod::single_sine, tmin, tmax);
  };
  EXPECT_EQ(with(HeatMethod::single_sine, 33, 38), 20.0);
  EXPECT_NE(mistaken(33, 38), 20.0);
}

TEST(DegreeDays, MethodsAgreeWhereTheDayStaysInside) {
  for (const auto method :
       {HeatMethod::simple_average, HeatMethod::clamped, HeatMethod::reflected,
        HeatMethod::four_case, HeatMethod::single_triangle, HeatMethod::single_sine}) {
    EXPECT_NEAR(with(method, 18, 30), 12.0, 1e-12) << name(method);
    EXPECT_EQ(with(method, 2, 9), 0.0) << name(method);
    EXPECT_EQ(heat_method(name(method)), method);
  }
}

TEST(DegreeDays, ConstantTemperatureNeedsNoWave) {
  EXPECT_EQ(with(HeatMethod::single_sine, 20, 20), 8.0);
  EXPECT_EQ(with(HeatMethod::single_triangle, 12, 12), 0.0);
  EXPECT_EQ(degree_days(12, 40, 12, std::nullopt, HeatMethod::single_triangle), 14.0);
  EXPECT_EQ(degree_days(8, 26, 12, std::nullopt, HeatMethod::clamped), 7.0);
}

TEST(DegreeDays, VeryHotDayIsNeverNegative) {
  EXPECT_EQ(with(HeatMethod::single_sine, 50, 58, HeatCutoff::intermediate), 0.0);
  EXPECT_EQ(with(HeatMethod::reflected, 33, 59), 7.0);
}

TEST(DegreeDays, BadInputIsNamed) {
  EXPECT_THAT([] { with(HeatMethod::single_sine, 30, 20); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("lowest temperature is above")));
  EXPECT_THAT([] { with(HeatMethod::single_sine, 64, 95); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("Fahrenheit")));
  EXPECT_THAT([] { with(HeatMethod::single_sine, NAN, 30); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("missing")));
  EXPECT_THAT([] { degree_days(10, 30, 32, 12, HeatMethod::single_sine); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("upper: 12")));
  EXPECT_THAT([] { degree_days(10, 30, 12, std::nullopt, HeatMethod::reflected); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("upper: missing")));
  EXPECT_THAT([] { with(HeatMethod::clamped, 10, 30, HeatCutoff::vertical); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("cutoff: vertical")));
  EXPECT_THAT([] { heat_method("sine"); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("method: sine")));
  EXPECT_THAT([] { heat_cutoff("sharp"); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("cutoff: sharp")));
}

TEST(HeatSum, AddsUpDaysInAnyOrder) {
  const HeatRecipe recipe{HeatMethod::simple_average, HeatCutoff::horizontal, 12.0, std::nullopt};
  const HeatSum sum = sum_degree_days({{3, 20, 30}, {1, 18, 30}, {2, 8, 26}}, 1, 3, recipe);
  EXPECT_NEAR(sum.degree_days.value(), 12.0 + 5.0 + 13.0, 1e-12);
  EXPECT_EQ(sum.missing_days, 0);
}

TEST(HeatSum, GapGivesNoSum) {
  const HeatRecipe recipe{HeatMethod::simple_average, HeatCutoff::horizontal, 12.0, std::nullopt};
  const HeatSum sum = sum_degree_days({{1, 18, 30}, {2, NAN, 26}, {4, 70, 90}}, 1, 4, recipe);
  EXPECT_FALSE(sum.degree_days.has_value());
  EXPECT_NEAR(sum.of_known_days, 12.0, 1e-12);
  EXPECT_EQ(sum.missing_days, 3);
  EXPECT_EQ(sum.first_missing.value(), 2);
  EXPECT_THAT(
      [&] {
        sum_degree_days({{1, 18, 30}, {1, 18, 30}}, 1, 1, recipe);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("weather, day: 1")));
  EXPECT_THAT([&] { sum_degree_days({}, 5, 1, recipe); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("first: 5")));
}

TEST(HeatTarget, IsRefusedWithAnotherStageOrRecipe) {
  const HeatRecipe recipe{HeatMethod::single_sine, HeatCutoff::horizontal, 12.0, 32.0};
  const HeatTarget target{1728.0, "asparagus", recipe};
  EXPECT_FALSE(target_mismatch(target, "asparagus", recipe).has_value());
  EXPECT_THAT(target_mismatch(target, "two-thirds open", recipe).value(), HasSubstr("start stage"));
  HeatRecipe other = recipe;
  other.method = HeatMethod::single_triangle;
  EXPECT_THAT(target_mismatch(target, "asparagus", other).value(), HasSubstr("method"));
  other = recipe;
  other.cutoff = HeatCutoff::vertical;
  EXPECT_THAT(target_mismatch(target, "asparagus", other).value(), HasSubstr("cut-off"));
  other = recipe;
  other.lower = 10.0;
  EXPECT_THAT(target_mismatch(target, "asparagus", other).value(), HasSubstr("12, of the sum 10"));
  other = recipe;
  other.upper.reset();
  EXPECT_THAT(target_mismatch(target, "asparagus", other).value(), HasSubstr("none"));
  EXPECT_TRUE(target_mismatch({1728.0, "", recipe}, "", recipe).has_value());
}

}  // namespace
}  // namespace maturity
