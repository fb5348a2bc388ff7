#include "libmaturity/drymatter/oven_weighing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/drymatter/oven_error.h"
#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// Formula READ (Title 3 California Code of Regulations s.1408.3); value COMPUTED by two routes.
TEST(DryMatter, WorkedWeighing) {
  EXPECT_NEAR(dry_matter_pct(45.12, 65.47, 48.23), 15.282555, 1e-6);
  // Wrong on purpose: forgetting the dish.
  EXPECT_GT(std::abs(100.0 * 48.23 / 65.47 - 15.282555), 1.0);
}

TEST(DryMatter, DoesNotDependOnTheDish) {
  EXPECT_NEAR(dry_matter_pct(45.12, 65.47, 48.23), dry_matter_pct(10.0, 30.35, 13.11), 1e-10);
}

TEST(DryMatter, ImpossibleWeighingsAreNamed) {
  EXPECT_THAT([] { dry_matter_pct(45.0, 65.0, 44.9); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("44.9")));
  EXPECT_THAT([] { dry_matter_pct(45.0, 45.0, 45.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("heavier than the dish")));
  EXPECT_THAT([] { dry_matter_pct(45.0, 65.0, 65.1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("no heavier than with the fresh")));
  EXPECT_THAT([] { dry_matter_pct(-1.0, 65.0, 50.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("above 0 g")));
  EXPECT_THAT([] { dry_matter_pct(45.0, NAN, 50.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("above 0 g")));
}

TEST(OvenReading, BlankDriedWeightIsAStateNotAnError) {
  const OvenReading reading = read_oven({45.12, 65.47, std::nullopt, std::nullopt});
  EXPECT_EQ(reading.state, OvenState::still_drying);
  EXPECT_FALSE(reading.dm_pct.has_value());
  EXPECT_FALSE(reading.problem.has_value());
  EXPECT_TRUE(reading.sentence.empty());
}

TEST(OvenReading, ProblemsAreTypedAndTheBatchGoesOn) {
  const auto problem = [](double dish, double fresh, std::optional<double> dried) {
    const OvenReading reading = read_oven({dish, fresh, dried, std::nullopt});
    EXPECT_EQ(reading.state, OvenState::impossible);
    EXPECT_FALSE(reading.dm_pct.has_value());
    EXPECT_FALSE(reading.sentence.empty());
    return reading.problem.value();
  };
  EXPECT_EQ(problem(45.0, 65.0, 44.0), WeighingProblem::dried_below_dish);
  EXPECT_EQ(problem(45.0, 65.0, 66.0), WeighingProblem::dried_above_fresh);
  EXPECT_EQ(problem(45.0, 44.0, std::nullopt), WeighingProblem::fresh_not_above_dish);
  EXPECT_EQ(problem(0.0, 44.0, 30.0), WeighingProblem::not_a_weight);
  EXPECT_EQ(problem(45.0, 65.0, NAN), WeighingProblem::not_a_weight);
  EXPECT_EQ(problem(45.0, 65.0, 45.1), WeighingProblem::not_a_fruit);  // 0.5 %
  EXPECT_EQ(problem(45.0, 65.0, 60.0), WeighingProblem::not_a_fruit);  // 75 %
  EXPECT_EQ(name(WeighingProblem::dried_above_fresh), "dried_above_fresh");
}

// By hand: sqrt(2) 100 (0.1/sqrt 12)/10 = 0.4082, with 0.15: 0.4349.
TEST(OvenError, CoarseBalanceDominatesASmallSample) {
  EXPECT_NEAR(oven_error_sd_pct(0.1, 10.0, 0.0), 0.408248, 1e-6);
  EXPECT_NEAR(oven_error_sd_pct(0.1, 10.0), 0.434933, 1e-6);
  EXPECT_NEAR(oven_error_sd_pct(0.001, 20.0), 0.15, 1e-4);
  EXPECT_NEAR(read_oven({45.1, 55.1, 46.6, 0.1}).error_sd_pct.value(), 0.434933, 1e-6);
  EXPECT_NEAR(read_oven({45.1, 55.1, 46.6, std::nullopt}).error_sd_pct.value(), 0.15, 1e-12);
}

// Slow plain twin: round true weights to the balance and look at what comes out.
TEST(OvenError, RoundedWeighingsScatterAsStated) {
  RandomStream stream(2);
  double squares = 0.0;
  constexpr int kRuns = 20000;
  const auto rounded = [](double grams) { return std::round(grams * 10.0) / 10.0; };
  for (int run = 0; run < kRuns; ++run) {
    const double dish = 40.0 + 10.0 * stream.uniform();
    const double fresh = 9.0 + 2.0 * stream.uniform();
    const double dried = 0.15 * fresh;
    const double read = dry_matter_pct(rounded(dish), rounded(dish + fresh), rounded(dish + dried));
    squares += (read - 15.0) * (read - 15.0);
  }
  EXPECT_NEAR(std::sqrt(squares / kRuns), oven_error_sd_pct(0.1, 10.0, 0.0), 0.04);
}

TEST(OvenError, BadInputIsNamed) {
  EXPECT_THAT([] { oven_error_sd_pct(0.0, 10.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("balance_step_g: 0")));
  EXPECT_THAT([] { oven_error_sd_pct(0.1, 0.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("fresh_g: 0")));
}

}  // namespace
}  // namespace maturity
