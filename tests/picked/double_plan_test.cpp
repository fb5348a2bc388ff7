#include "libmaturity/picked/double_plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

#include "libmaturity/stats/sampling_plan.h"

namespace maturity {
namespace {

TEST(DoublePlan, LetterJAtSixAndAHalf) {
  // From memory; the row itself also READ-2nd, see double_plan.h.
  const DoublePlan plan = double_plan('J', 6.5).value();
  EXPECT_EQ(plan.first, 50);
  EXPECT_EQ(plan.second, 50);
  EXPECT_EQ(plan.accept_first, 5);
  EXPECT_EQ(plan.reject_first, 9);
  EXPECT_EQ(plan.accept_total, 12);
}

TEST(DoublePlan, WhereTheSinglePlanAcceptsNoneThereIsNone) {
  EXPECT_FALSE(double_plan('D', 1.5).has_value());
  EXPECT_FALSE(double_plan('A', 6.5).has_value());
  EXPECT_THROW(double_plan('J', 5.0), std::invalid_argument);
}

/// Largest difference of the operating characteristics of a double and a single plan.
double largest_gap(const DoublePlan& twice, const SamplingPlan& once) {
  double gap = 0.0;
  for (int per_mille = 5; per_mille < 600; per_mille += 5) {
    const double share = per_mille / 1000.0;
    gap = std::max(gap, std::abs(double_acceptance(twice, share).acceptance -
                                 acceptance_probability(once.n, once.accept, share)));
  }
  return gap;
}

// The standard matches its double plans to the single ones about as well as this (from memory). The
// bar catches a row that belongs to another single plan, not a number off by one.
TEST(DoublePlan, OperatingCharacteristicIsNearThatOfTheSinglePlan) {
  constexpr double kBar = 0.09;
  const std::vector<double> levels{1.5, 2.5, 4.0, 6.5, 10.0};
  int plans = 0;
  for (const char letter : std::string("DEFGHJKL")) {
    for (std::size_t i = 0; i < levels.size(); ++i) {
      const auto once = single_plan(letter, levels[i]);
      const auto twice = double_plan(letter, levels[i]);
      if (!twice) {
        continue;
      }
      ++plans;
      EXPECT_LT(largest_gap(*twice, once.value()), kBar) << letter << " " << levels[i];
      // Wrong on purpose: the numbers of the row after and of the row before.
      for (std::size_t other : {i + 1, i - 1}) {
        const auto wrong =
            other < levels.size() ? double_plan(letter, levels[other]) : std::nullopt;
        const auto its_own = wrong ? single_plan(letter, levels[other]) : std::nullopt;
        if (wrong && its_own->n == once->n && its_own->accept != once->accept) {
          EXPECT_GT(largest_gap(*wrong, once.value()), kBar) << letter << " " << levels[i];
        }
      }
    }
  }
  EXPECT_GE(plans, 30);
}

TEST(DoublePlan, ChecksFewerFruitOnGoodLoads) {
  const DoublePlan plan = double_plan('J', 6.5).value();
  EXPECT_LT(double_acceptance(plan, 0.03).expected_fruit, 80.0);
}

}  // namespace
}  // namespace maturity
