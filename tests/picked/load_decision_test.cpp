#include "libmaturity/picked/load_decision.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <boost/math/distributions/binomial.hpp>
#include <stdexcept>

#include "libmaturity/stats/acceptance.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr LoadRule kRule{0.05, 0.20};

TEST(DecideLoad, FewFruitAskForMoreAndSayHowMany) {
  const LoadDecision decision = decide_load({13, 1}, kRule);
  EXPECT_EQ(decision.step, LoadStep::check_more);
  const LoadPlan plan = smallest_plan({0.05, 0.20, 0.025, 0.05}).value();
  EXPECT_EQ(decision.more.value(), plan.n - 13);
  EXPECT_EQ(decision.accept_total.value(), plan.accept);
}

TEST(DecideLoad, GoodPassesBadIsSortedBetweenIsHeld) {
  EXPECT_EQ(decide_load({100, 4}, kRule).step, LoadStep::accept);
  EXPECT_EQ(decide_load({100, 30}, kRule).step, LoadStep::sort);
  const LoadDecision between = decide_load({400, 44}, kRule);
  EXPECT_EQ(between.step, LoadStep::hold);
  EXPECT_FALSE(between.more.has_value());
  // No reasonable number tells 10 from 11 in 100.
  EXPECT_EQ(decide_load({50, 5}, {0.10, 0.11}).step, LoadStep::hold);
}

TEST(DecideLoad, ChancesAreThoseOfTheExactDistributions) {
  const LoadDecision large = decide_load({13, 2}, kRule);
  EXPECT_NEAR(large.chance_if_refused, 0.5016522, 6e-8);
  EXPECT_NEAR(large.chance_if_acceptable, 1.0 - acceptance_probability(13, 1, 0.05), 1e-12);
  // A load of 100 with 10 bad (hypergeometric, COMPUTED by two routes): 0.879619578.
  const LoadDecision lot = decide_load({13, 2, 100}, {0.05, 0.10});
  EXPECT_NEAR(lot.chance_if_refused, 0.879619578, 1e-9);
  // The beta form that bears fractions agrees with the sum where counts are whole.
  const LoadDecision twice = decide_load({26, 4, std::nullopt, 2.0}, kRule);
  EXPECT_NEAR(twice.chance_if_refused, large.chance_if_refused, 1e-12);
  EXPECT_NEAR(twice.chance_if_acceptable, large.chance_if_acceptable, 1e-12);
}

TEST(DecideLoad, FruitOfOneBinCountForLess) {
  EXPECT_EQ(decide_load({60, 3}, kRule).step, LoadStep::accept);
  const LoadDecision clustered = decide_load({60, 3, std::nullopt, 4.0}, kRule);
  EXPECT_EQ(clustered.step, LoadStep::check_more);
  EXPECT_GT(clustered.more.value(), decide_load({13, 1}, kRule).more.value());
}

/// Chances that a load of this share ends as accepted and as to be sorted, both looks summed out.
std::pair<double, double> outcomes(int first, double share, const LoadRule& rule, bool whole_risk) {
  LoadRule used = rule;
  if (whole_risk) {  // wrong on purpose: each look spends all of both risks
    used.producer_risk *= 2.0;
    used.consumer_risk *= 2.0;
  }
  double accepted = 0.0;
  double sorted = 0.0;
  const boost::math::binomial early(first, share);
  for (int x = 0; x <= first; ++x) {
    const double chance = boost::math::pdf(early, x);
    const LoadDecision one = decide_load({first, x}, used);
    if (one.step != LoadStep::check_more) {
      accepted += one.step == LoadStep::accept ? chance : 0.0;
      sorted += one.step == LoadStep::sort ? chance : 0.0;
      continue;
    }
    const boost::math::binomial late(one.more.value(), share);
    for (int y = 0; y <= one.more.value(); ++y) {
      const LoadDecision two = decide_load({first + one.more.value(), x + y}, used);
      EXPECT_NE(two.step, LoadStep::check_more) << "the second look always settles it";
      const double both = chance * boost::math::pdf(late, y);
      accepted += two.step == LoadStep::accept ? both : 0.0;
      sorted += two.step == LoadStep::sort ? both : 0.0;
    }
  }
  return {accepted, sorted};
}

TEST(DecideLoad, TwoLooksTogetherKeepBothRisks) {
  double most = 0.0;
  for (const LoadRule& rule : {kRule, LoadRule{0.02, 0.10}, LoadRule{0.10, 0.20}}) {
    for (const int first : {5, 13, 20, 32, 50, 80}) {
      EXPECT_LE(outcomes(first, rule.refused, rule, false).first, rule.consumer_risk);
      EXPECT_LE(outcomes(first, rule.acceptable, rule, false).second, rule.producer_risk);
      most = std::max(most, outcomes(first, rule.refused, rule, true).first - rule.consumer_risk);
    }
  }
  EXPECT_GT(most, 0.0);
}

/// Counts at the total asked for that end neither as accepted nor as sorted as promised.
int broken_promises(const LoadCheck& first, const LoadRule& rule, int shift) {
  const LoadDecision one = decide_load(first, rule);
  if (one.step != LoadStep::check_more) {
    return 0;
  }
  const int total = first.checked + one.more.value();
  int broken = 0;
  for (int found = first.found; found <= total; ++found) {
    const LoadStep then = decide_load({total, found, first.lot, first.design_effect}, rule).step;
    const bool accepts = found <= one.accept_total.value() + shift;
    broken += then == (accepts ? LoadStep::accept : LoadStep::sort) ? 0 : 1;
  }
  return broken;
}

TEST(DecideLoad, WhatIsAskedForIsKept) {
  int asked = 0;
  int bites = 0;
  for (const LoadRule& rule : {kRule, LoadRule{0.04, 0.12}, LoadRule{0.02, 0.10}}) {
    for (const double effect : {1.0, 1.3, 2.0, 3.08}) {
      for (const std::optional<int>& lot :
           {std::optional<int>(), std::optional<int>(130), std::optional<int>(333),
            std::optional<int>(1000), std::optional<int>(12345)}) {
        for (const int checked : {8, 20, 50, 100}) {
          for (const int found : {0, 1, 3}) {
            const LoadCheck first{checked, found, lot, effect};
            asked += decide_load(first, rule).step == LoadStep::check_more ? 1 : 0;
            EXPECT_EQ(broken_promises(first, rule, 0), 0)
                << rule.refused << " " << effect << " " << lot.value_or(0) << " " << checked;
            bites += broken_promises(first, rule, 1);  // wrong on purpose: one more allowed
          }
        }
      }
    }
  }
  EXPECT_GT(asked, 200);
  EXPECT_GE(bites, asked);
}

TEST(DecideLoad, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        decide_load({0, 0}, kRule);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("checked: 0")));
  EXPECT_THAT(
      [] {
        decide_load({10, 11}, kRule);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("found: 11")));
  EXPECT_THAT(
      [] {
        decide_load({10, 1, 9}, kRule);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("lot: 9")));
  EXPECT_THAT(
      [] {
        decide_load({10, 1, std::nullopt, 0.5}, kRule);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("design_effect: 0.5")));
}

}  // namespace
}  // namespace maturity
