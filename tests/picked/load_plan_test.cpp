#include "libmaturity/picked/load_plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "libmaturity/stats/acceptance.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// Slow plain twin: every n and every acceptance number tried in turn.
TEST(SmallestPlan, IsTheSmallestThereIs) {
  for (const LoadRule& rule : {LoadRule{0.05, 0.20}, LoadRule{0.02, 0.10}, LoadRule{0.0, 0.1},
                               LoadRule{0.10, 0.25, 0.025, 0.05}}) {
    const LoadPlan plan = smallest_plan(rule).value();
    const auto keeps = [&](int n, int accept) {
      return acceptance_probability(n, accept, rule.acceptable) >= 1.0 - rule.producer_risk &&
             acceptance_probability(n, accept, rule.refused) <= rule.consumer_risk;
    };
    EXPECT_TRUE(keeps(plan.n, plan.accept));
    for (int n = 1; n < plan.n; ++n) {
      for (int accept = 0; accept < n; ++accept) {
        EXPECT_FALSE(keeps(n, accept)) << n << " " << accept;
      }
    }
  }
}

TEST(SmallestPlan, ASmallLoadNeedsFewerFruit) {
  const LoadRule rule{0.05, 0.20};
  const LoadPlan large = smallest_plan(rule).value();
  const LoadPlan small = smallest_plan(rule, {60}).value();
  EXPECT_LT(small.n, large.n);
  EXPECT_LE(acceptance_probability(small.n, small.accept, 0.20, 60), rule.consumer_risk);
  EXPECT_GE(acceptance_probability(small.n, small.accept, 0.05, 60), 1.0 - rule.producer_risk);
  EXPECT_LE(smallest_plan({0.1, 0.11}, {30}).value().n, 30);
}

TEST(SmallestPlan, NoReasonableNumberIsSaidAsSuch) {
  EXPECT_FALSE(smallest_plan({0.10, 0.11}).has_value());
}

// "A check of 13 fruit passes a load with 20 % immature half the time" (the table of acceptance
// probabilities: 13, 2 at 0.20 passes with 0.5016522; COMPUTED by two routes).
TEST(SharePassedWith, ThirteenFruitPassTwentyPerCentHalfTheTime) {
  EXPECT_NEAR(share_passed_with(13, 2, 0.5016522), 0.20, 1e-6);
  EXPECT_NEAR(share_passed_with(13, 2, 0.5), 0.20, 0.001);
  for (const double chance : {0.05, 0.5, 0.95}) {
    EXPECT_NEAR(acceptance_probability(80, 10, share_passed_with(80, 10, chance)), chance, 1e-10);
  }
}

TEST(LoadPlan, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        smallest_plan({0.2, 0.1});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("acceptable: 0.2")));
  EXPECT_THAT(
      [] {
        smallest_plan({0.1, 10.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("refused: 10")));
  EXPECT_THAT(
      [] {
        smallest_plan({0.1, 0.2, 0.0, 0.1});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("risk: 0")));
  EXPECT_THAT(
      [] {
        smallest_plan({0.1, 0.2}, {0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("lot: 0")));
  EXPECT_THAT([] { share_passed_with(13, 13, 0.5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("accept: 13")));
}

}  // namespace
}  // namespace maturity
