#include "libmaturity/drymatter/constant_mass.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(ConstantMass, TwoAgreeingWeightsEndTheDrying) {
  const DryingResult done = judge_drying({{48, 48.40}, {71, 48.24}, {72, 48.23}});
  EXPECT_EQ(done.state, DryingState::finished);
  EXPECT_EQ(done.dish_dried_g.value(), 48.23);
  EXPECT_EQ(judge_drying({{48, 48.40}, {72, 48.23}}).state, DryingState::still_losing);
}

// Two looks a minute apart agree on anything: they are one look.
TEST(ConstantMass, LooksTooCloseTogetherDoNotCount) {
  EXPECT_EQ(judge_drying({{24, 52.00}, {24.02, 52.00}}).state, DryingState::cannot_tell);
  EXPECT_EQ(judge_drying({{20, 53.00}, {24, 52.00}, {24.02, 52.00}}).state,
            DryingState::still_losing);
  EXPECT_EQ(judge_drying({{24, 52.00}}).state, DryingState::cannot_tell);
  EXPECT_EQ(judge_drying({}).state, DryingState::cannot_tell);
}

TEST(ConstantMass, SlowLossOverThreeLooksIsStillLoss) {
  const EndRule three{0.01, 3, 1.0};
  EXPECT_EQ(judge_drying({{70, 48.26}, {71, 48.25}, {72, 48.24}}, three).state,
            DryingState::still_losing);
  EXPECT_EQ(judge_drying({{70, 48.25}, {71, 48.24}, {72, 48.24}}, three).state,
            DryingState::finished);
}

TEST(ConstantMass, GainingWeightIsSaid) {
  EXPECT_EQ(judge_drying({{48, 48.20}, {72, 48.40}}).state, DryingState::gained);
}

TEST(ConstantMass, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        judge_drying({{48, 48.2}, {48, 48.2}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("hours, weighing 2: 48")));
  EXPECT_THAT(
      [] {
        judge_drying({{48, NAN}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("dish_sample_g, weighing 1")));
  EXPECT_THAT(
      [] {
        judge_drying({}, {0.01, 1, 1.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("agreeing: 1")));
}

}  // namespace
}  // namespace maturity
