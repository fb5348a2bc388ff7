#include "libmaturity/forecast/gain_forecast.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// COMPUTED by a prototype in another language.
TEST(GainForecast, ThreeVisitsMatchTheWorkedCase) {
  const GainForecast forecast =
      forecast_readiness({0, 7, 14}, {13.2, 13.9, 14.3}, {0.35, 0.30, 0.30}, 15.0);
  EXPECT_NEAR(forecast.level, 14.383698, 1e-6);
  EXPECT_NEAR(forecast.level_sd, 0.293988, 1e-6);
  EXPECT_NEAR(forecast.gain_per_week.value(), 0.582088, 1e-6);
  EXPECT_NEAR(forecast.gain_sd.value(), 0.233098, 1e-6);
  EXPECT_NEAR(forecast.probability(14).value(), 0.018026, 1e-6);
  EXPECT_NEAR(forecast.probability(21).value(), 0.474253, 1e-6);
  EXPECT_NEAR(forecast.probability(28).value(), 0.749395, 1e-6);
  EXPECT_NEAR(forecast.probability(35).value(), 0.845364, 1e-6);
  EXPECT_FALSE(forecast.earliest_day.has_value());
  EXPECT_EQ(forecast.no_date, NoDate::beyond_horizon);

  ForecastOptions far;
  far.horizon_days = 60;
  EXPECT_EQ(forecast_readiness({0, 7, 14}, {13.2, 13.9, 14.3}, {0.35, 0.30, 0.30}, 15.0, far)
                .earliest_day,
            46);
}

// COMPUTED by a prototype in another language.
TEST(GainForecast, SharedTreesMatchTheWorkedCase) {
  ForecastOptions options;
  options.shared_sd = std::sqrt(0.03);
  const GainForecast forecast = forecast_readiness({0, 7, 14, 21}, {13.0, 13.8, 14.1, 14.9},
                                                   {0.3, 0.3, 0.3, 0.25}, 15.0, options);
  EXPECT_NEAR(forecast.level, 14.872703, 1e-6);
  EXPECT_NEAR(forecast.gain_per_week.value(), 0.612759, 1e-6);
  EXPECT_NEAR(forecast.probability(21).value(), 0.317447, 1e-6);
  EXPECT_NEAR(forecast.probability(28).value(), 0.887256, 1e-6);
  EXPECT_EQ(forecast.earliest_day, 29);

  // Wrong on purpose: the shared part ignored must miss the worked case.
  const GainForecast wrong =
      forecast_readiness({0, 7, 14, 21}, {13.0, 13.8, 14.1, 14.9}, {0.3, 0.3, 0.3, 0.25}, 15.0);
  EXPECT_GT(std::abs(wrong.level - 14.872703), 1e-4);
}

// Exact shape: many precise visits on one line bring the line back.
TEST(GainForecast, ManyPreciseVisitsGiveTheLine) {
  std::vector<double> day;
  std::vector<double> psi;
  for (int visit = 0; visit <= 40; ++visit) {
    day.push_back(7.0 * visit);
    psi.push_back(10.0 + 0.25 * visit);
  }
  const GainForecast forecast =
      forecast_readiness(day, psi, std::vector<double>(day.size(), 0.01), 21.0);
  EXPECT_NEAR(forecast.level, 20.0, 2e-3);
  EXPECT_NEAR(forecast.gain_per_week.value(), 0.25, 2e-3);
}

TEST(GainForecast, OrderOfVisitsAndStartOfTheCalendarDoNotMatter) {
  const GainForecast forecast =
      forecast_readiness({0, 7, 14}, {13.2, 14.0, 14.9}, {0.3, 0.2, 0.25}, 15.0);
  const GainForecast moved =
      forecast_readiness({114, 100, 107}, {14.9, 13.2, 14.0}, {0.25, 0.3, 0.2}, 15.0);
  EXPECT_NEAR(forecast.level, moved.level, 1e-12);
  EXPECT_NEAR(*forecast.gain_per_week, *moved.gain_per_week, 1e-12);
  ASSERT_TRUE(forecast.earliest_day.has_value());
  EXPECT_EQ(*forecast.earliest_day + 100, moved.earliest_day);
}

TEST(GainForecast, VisitsOfOneDayCountAsOne) {
  const double half = 0.3 / std::sqrt(2.0);
  const GainForecast twice =
      forecast_readiness({0, 7, 7}, {13.0, 13.8, 14.0}, {0.3, 0.3, 0.3}, 15.0);
  const GainForecast once = forecast_readiness({0, 7}, {13.0, 13.9}, {0.3, half}, 15.0);
  EXPECT_NEAR(twice.level, once.level, 1e-12);
  EXPECT_NEAR(*twice.gain_per_week, *once.gain_per_week, 1e-12);
}

TEST(GainForecast, OneVisitGivesNoDateUnlessTheGainIsStated) {
  const GainForecast forecast = forecast_readiness({3, 3}, {14.0, 14.2}, {0.3, 0.3}, 15.0);
  EXPECT_FALSE(forecast.gain_per_week.has_value());
  EXPECT_FALSE(forecast.probability(10).has_value());
  EXPECT_EQ(forecast.no_date, NoDate::one_visit);
  ForecastOptions options;
  options.stated_gain = StatedGain{1.2, 0.2};
  const GainForecast stated = forecast_readiness({3}, {14.1}, {0.2}, 15.0, options);
  EXPECT_NEAR(stated.gain_per_week.value(), 1.2, 1e-9);
  ASSERT_TRUE(stated.earliest_day.has_value());
  EXPECT_GE(stated.probability(*stated.earliest_day).value(), 0.9);
  EXPECT_LT(stated.probability(*stated.earliest_day - 1).value(), 0.9);
}

TEST(GainForecast, FallingDryMatterGivesNoDate) {
  const GainForecast forecast =
      forecast_readiness({0, 7, 14}, {16.0, 15.0, 14.0}, {0.2, 0.2, 0.2}, 15.0);
  EXPECT_LT(forecast.gain_per_week.value(), 0.0);
  EXPECT_EQ(forecast.no_date, NoDate::not_rising);
  EXPECT_FALSE(forecast.earliest_day.has_value());
}

TEST(GainForecast, BadInputIsNamed) {
  const auto fails = [](const std::vector<double>& day, const std::vector<double>& psi,
                        const std::vector<double>& sd, const char* text, double minimum = 15.0,
                        const ForecastOptions& options = {}) {
    EXPECT_THAT([&] { forecast_readiness(day, psi, sd, minimum, options); },
                ThrowsMessage<std::invalid_argument>(HasSubstr(text)));
  };
  fails({}, {}, {}, "day: no visit");
  fails({0, 7}, {13.0}, {0.3, 0.3}, "psi, number of values: 1");
  fails({0, 7}, {13.0, 14.0}, {0.3}, "psi_sd, number of values: 1");
  fails({0, 7}, {13.0, std::nan("")}, {0.3, 0.3}, "psi, visit 2: nan");
  fails({0, 7}, {13.0, 14.0}, {0.3, 0.0}, "psi_sd, visit 2: 0");
  fails({0, std::numeric_limits<double>::infinity()}, {13.0, 14.0}, {0.3, 0.3}, "day, visit 2");
  fails({0}, {13.0}, {0.3}, "minimum_dm_pct: 150", 150.0);
  ForecastOptions options;
  options.confidence = 90;
  fails({0}, {13.0}, {0.3}, "confidence: 90", 15.0, options);
  options = {};
  options.shared_sd = 0.4;
  fails({0}, {13.0}, {0.3}, "shared_sd: 0.4", 15.0, options);
}

}  // namespace
}  // namespace maturity
