#include "libmaturity/stats/acceptance.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/sampling_plan.h"
#include "tests/values/acceptance_tables.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(AcceptanceProbability, MatchesTheTable) {
  for (const values::AcceptanceRow& row : values::kAcceptance) {
    for (std::size_t s = 0; s < values::kAcceptanceShares.size(); ++s) {
      EXPECT_NEAR(acceptance_probability(row.n, row.accept, values::kAcceptanceShares.at(s)),
                  row.probability.at(s), 6e-8)
          << row.n;
    }
  }
}

TEST(AcceptanceProbability, FiniteLotDrawsWithoutReplacement) {
  EXPECT_NEAR(acceptance_probability(13, 2, 0.10, 100), values::kFiniteLot, 1e-9);
  EXPECT_GT(std::abs(acceptance_probability(13, 2, 0.10) - values::kFiniteLot), 1e-3);
}

// Slow plain twin: urn by urn.
TEST(AcceptanceProbability, FiniteLotAgreesWithCountingDraws) {
  // Of 6 fruit 2 bad, draw 3, allow 0: (4/6)(3/5)(2/4) = 0.2.
  EXPECT_NEAR(acceptance_probability(3, 0, 2.0 / 6.0, 6), 0.2, 1e-12);
  EXPECT_NEAR(acceptance_probability(3, 1, 2.0 / 6.0, 6), 0.8, 1e-12);
}

TEST(AcceptanceProbability, EndsAreCertain) {
  EXPECT_EQ(acceptance_probability(13, 2, 0.0), 1.0);
  EXPECT_EQ(acceptance_probability(13, 2, 1.0), 0.0);
  EXPECT_EQ(acceptance_probability(13, 13, 0.5), 1.0);
  EXPECT_EQ(acceptance_probability(13, 2, 0.02, 100), 1.0);
  EXPECT_EQ(acceptance_probability(13, 2, 0.95, 100), 0.0);
  EXPECT_EQ(acceptance_probability(100, 9, 0.10, 100), 0.0);
}

// Two routes: sum over both samples by hand for small numbers, and the single plan as a limit.
TEST(DoubleAcceptance, SmallPlanByHand) {
  const DoublePlan plan{2, 0, 2, 2, 1};
  const double p = 0.3;
  const double first = 0.7 * 0.7;
  const double undecided = 2.0 * p * 0.7;
  const DoubleOutcome outcome = double_acceptance(plan, p);
  EXPECT_NEAR(outcome.acceptance, first + undecided * first, 1e-12);
  EXPECT_NEAR(outcome.expected_fruit, 2.0 + undecided * 2.0, 1e-12);
}

TEST(DoubleAcceptance, WithoutAnUndecidedZoneItIsTheSinglePlan) {
  const DoubleOutcome outcome = double_acceptance({32, 5, 6, 32, 5}, 0.1);
  EXPECT_NEAR(outcome.acceptance, acceptance_probability(32, 5, 0.1), 1e-12);
  EXPECT_NEAR(outcome.expected_fruit, 32.0, 1e-12);
}

TEST(SamplingPlan, PublishedRows) {
  EXPECT_EQ(code_letter(501), 'J');
  EXPECT_EQ(code_letter(1200), 'J');
  EXPECT_EQ(code_letter(1201), 'K');
  EXPECT_EQ(code_letter(500, 1), 'F');
  EXPECT_EQ(code_letter(2, 3), 'B');
  const SamplingPlan plan = single_plan('J', 6.5).value();
  EXPECT_EQ(plan.n, 80);
  EXPECT_EQ(plan.accept, 10);
  EXPECT_FALSE(plan.followed_arrow);
  EXPECT_EQ(code_letter_sample_size('E'), 13);
}

// Along a diagonal the standard keeps n times AQL, and so Ac: a slip in the table breaks it.
TEST(SamplingPlan, AcceptanceNumbersRunAlongDiagonals) {
  const std::string letters = "DEFGHJKL";
  const std::vector<double> levels{1.5, 2.5, 4.0, 6.5, 10.0};
  for (std::size_t r = 0; r + 1 < letters.size(); ++r) {
    for (std::size_t c = 0; c + 1 < levels.size(); ++c) {
      const auto right = single_plan(letters[r], levels[c + 1]);
      const auto below = single_plan(letters[r + 1], levels[c]);
      if (right && below && !right->followed_arrow && !below->followed_arrow) {
        EXPECT_EQ(right->accept, below->accept) << letters[r] << levels[c];
      }
    }
  }
}

TEST(SamplingPlan, ArrowsLeadToTheNextRow) {
  const SamplingPlan down = single_plan('F', 1.5).value();
  EXPECT_EQ(down.letter, 'G');
  EXPECT_EQ(down.accept, 1);
  EXPECT_TRUE(down.followed_arrow);
  EXPECT_EQ(single_plan('E', 1.5).value().letter, 'D');
  EXPECT_EQ(single_plan('L', 10.0).value().n, 125);
  EXPECT_FALSE(single_plan('D', 2.5).has_value());
  EXPECT_FALSE(single_plan('A', 6.5).has_value());
}

TEST(Acceptance, BadInputIsNamed) {
  EXPECT_THAT([] { acceptance_probability(0, 0, 0.1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("n: 0")));
  EXPECT_THAT([] { acceptance_probability(13, 14, 0.1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("accept: 14")));
  EXPECT_THAT([] { acceptance_probability(13, 2, 20.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("share: 20")));
  EXPECT_THAT([] { acceptance_probability(13, 2, 0.1, 12); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("lot: 12")));
  EXPECT_THAT([] { code_letter(1); }, ThrowsMessage<std::invalid_argument>(HasSubstr("lot: 1")));
  EXPECT_THAT([] { code_letter(100, 4); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("level: 4")));
  EXPECT_THAT([] { code_letter_sample_size('I'); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("letter: I")));
  EXPECT_THAT([] { single_plan('J', 5.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("acceptable_pct: 5")));
  EXPECT_THAT(
      [] {
        double_acceptance({10, 3, 3, 10, 4}, 0.1);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("plan: 3")));
}

}  // namespace
}  // namespace maturity
