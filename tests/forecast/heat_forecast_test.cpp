#include "libmaturity/forecast/heat_forecast.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr HeatRecipe kRecipe{HeatMethod::simple_average, HeatCutoff::horizontal, 12.0, {}};

/// Days first..last of 10 degree-days, `warm` from day `change` on.
std::vector<WeatherDay> weather_of(int first, int last, int change = 1000, double warm = 15.0) {
  std::vector<WeatherDay> weather;
  for (int day = first; day <= last; ++day) {
    const double mean = 12.0 + (day < change ? 10.0 : warm);
    weather.push_back({day, mean - 6.0, mean + 6.0});
  }
  return weather;
}

TEST(HeatPace, RecentSlowestAndFastest) {
  const auto pace = heat_pace(weather_of(1, 40, 34, 20.0), 1, 40, kRecipe);
  // By hand: the last 14 days hold 7 of 10 and 7 of 20.
  EXPECT_NEAR(pace->recent, 15.0, 1e-12);
  EXPECT_NEAR(pace->slowest, 10.0, 1e-12);
  EXPECT_NEAR(pace->fastest, 15.0, 1e-12);
}

TEST(ForecastByHeat, EvenWeatherIsTheCalendar) {
  const std::vector<double> psi{13.0, 13.8, 14.4};
  const std::vector<double> sd{0.3, 0.3, 0.3};
  const auto heat = forecast_by_heat({20, 27, 34}, psi, sd, 15.0, weather_of(1, 40), kRecipe);
  const GainForecast days = forecast_readiness({20, 27, 34}, psi, sd, 15.0);
  ASSERT_TRUE(heat.has_value());
  EXPECT_NEAR(heat->forecast.level, days.level, 1e-12);
  EXPECT_NEAR(*heat->forecast.gain_per_week, *days.gain_per_week, 1e-12);
  EXPECT_EQ(heat->forecast.earliest_day, days.earliest_day);
  // 70 degree-days a week: the gain of a week is that of 70.
  EXPECT_NEAR(*heat->gain_per_100, *days.gain_per_week / 0.7, 1e-12);
}

// Dry matter that follows heat, not days: a cool spell between the visits, then warm weather. Per
// degree-day the line is straight, per day it is not.
TEST(ForecastByHeat, CoolSpellBetweenVisitsIsNotReadAsSlowGrowth) {
  const auto weather = weather_of(1, 60, 30, 20.0);
  // 1 % per 100 degree-days: 1.4 % from day 20 to 34 (9 days of 10, 5 of 20, +1 by hand below).
  std::vector<double> psi;
  for (const int day : {20, 27, 34}) {
    psi.push_back(12.0 + sum_degree_days(weather, 21, std::max(21, day), kRecipe).of_known_days /
                             100.0 * (day > 20 ? 1.0 : 0.0));
  }
  const std::vector<double> sd{0.05, 0.05, 0.05};
  const auto heat = forecast_by_heat({20, 27, 34}, psi, sd, 16.0, weather, kRecipe);
  ASSERT_TRUE(heat.has_value());
  EXPECT_NEAR(heat->gain_per_100.value(), 1.0, 0.15);
}

TEST(ForecastByHeat, GapGivesNothing) {
  auto weather = weather_of(1, 40);
  weather.erase(weather.begin() + 24);
  EXPECT_FALSE(
      forecast_by_heat({20, 34}, {13.0, 14.0}, {0.3, 0.3}, 15.0, weather, kRecipe).has_value());
}

TEST(DayOfTarget, CountsOnAtTheRecentPace) {
  const HeatTarget target{700.0, "marble", kRecipe};
  const auto day = day_of_target(weather_of(1, 40, 34, 20.0), 1, 40, target, "marble", kRecipe);
  ASSERT_TRUE(day.has_value());
  // By hand: 33 x 10 + 7 x 20 = 470, 230 to go at 15, 15 and 10 a day.
  EXPECT_NEAR(day->so_far, 470.0, 1e-9);
  EXPECT_EQ(day->days, 16);
  EXPECT_EQ(day->days_fastest, 16);
  EXPECT_EQ(day->days_slowest.value(), 23);
  EXPECT_LE(day_of_target(weather_of(1, 90), 1, 90, target, "marble", kRecipe)->days, 0);
}

TEST(DayOfTarget, MixingIsRefused) {
  const HeatTarget target{700.0, "marble", kRecipe};
  EXPECT_THAT([&] { day_of_target(weather_of(1, 40), 1, 40, target, "flowering", kRecipe); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("start stage")));
  HeatRecipe other = kRecipe;
  other.method = HeatMethod::single_sine;
  EXPECT_THAT([&] { day_of_target(weather_of(1, 40), 1, 40, target, "marble", other); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("method")));
  EXPECT_THAT([&] { heat_pace(weather_of(1, 40), 30, 40, kRecipe); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("at least 14 days")));
  EXPECT_THAT(
      [&] {
        day_of_target(weather_of(1, 40), 1, 40, {0.0, "marble", kRecipe}, "marble", kRecipe);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("target: 0")));
}

TEST(DayOfTarget, GapOrFahrenheitGivesNothing) {
  auto weather = weather_of(1, 40);
  weather[20].tmax = 95.0;
  const HeatTarget target{700.0, "marble", kRecipe};
  EXPECT_FALSE(day_of_target(weather, 1, 40, target, "marble", kRecipe).has_value());
}

}  // namespace
}  // namespace maturity
