#include "libmaturity/picked/crew_days.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "libmaturity/picked/crew_check.h"

namespace maturity {
namespace {

BinCheck bin_of(const std::string& crew, int day, int checked, int found,
                const std::string& name = "1") {
  return {"Weir", "pole", "day " + std::to_string(day), crew, name, checked, found};
}

TEST(DaySpread, TwoCrewsTwoDaysByHand) {
  // Of each 100 fruit 15 are expected: 4 * 5^2 / (15 * 0.85), one degree of freedom.
  const NumberedBins bins = number_bins({bin_of("A", 1, 100, 10), bin_of("A", 2, 100, 20),
                                         bin_of("B", 1, 100, 20), bin_of("B", 2, 100, 10)});
  const DaySpread days = day_spread(bins, 0.0);
  EXPECT_EQ(days.degrees, 1);
  EXPECT_NEAR(days.ratio, 100.0 / (15.0 * 0.85), 1e-6);
  // 100 fruit that are alike by 0.03 vary 1 + 99 * 0.03 times as much.
  EXPECT_NEAR(day_spread(bins, 0.03).ratio, days.ratio / 3.97, 1e-6);
}

TEST(DaySpread, ACrewThatIsTwiceAsBadEveryDayAgrees) {
  std::vector<BinCheck> checks;
  for (int day = 1; day <= 4; ++day) {
    checks.push_back(bin_of("A", day, 100, 4 * day));
    checks.push_back(bin_of("B", day, 200, 4 * day));
  }
  const DaySpread days = day_spread(number_bins(checks), 0.0);
  EXPECT_NEAR(days.ratio, 0.0, 1e-9);
  EXPECT_EQ(days.degrees, 3);
}

TEST(DaySpread, OnlySharedDaysTellAnything) {
  EXPECT_EQ(day_spread(number_bins({bin_of("A", 1, 50, 5), bin_of("B", 2, 50, 9)}), 0.0).degrees,
            0);
  // Two pairs of crews that never meet: one degree each.
  std::vector<BinCheck> checks;
  for (int day = 1; day <= 2; ++day) {
    for (const auto* const crew : {"A", "B"}) {
      checks.push_back(bin_of(crew, day, 50, 5 + day));
    }
    for (const auto* const crew : {"C", "D"}) {
      checks.push_back(bin_of(crew, 10 + day, 50, 5 + day));
    }
  }
  EXPECT_EQ(day_spread(number_bins(checks), 0.0).degrees, 2);
  EXPECT_EQ(day_spread(number_bins({}), 0.0).degrees, 0);
}

/// Crew A has `more` by day beyond the 5 of 50 of the others, in each of four bins.
CrewComparison with_days(const std::vector<int>& more) {
  std::vector<BinCheck> checks;
  for (std::size_t day = 0; day < more.size(); ++day) {
    for (int b = 0; b < 4; ++b) {
      const int odd = b % 2;
      const auto name = std::to_string(b);
      const auto number = static_cast<int>(day);
      checks.push_back(bin_of("A", number, 50, 5 + more[day] + odd, name));
      checks.push_back(bin_of("B", number, 50, 5 - odd, name));
      checks.push_back(bin_of("C", number, 50, 5 + odd, name));
    }
  }
  return compare_crews(checks);
}

TEST(CompareCrews, WhatIsOneDaysDoingIsNotTheCrews) {
  // 34 of 50 more on one day of four, fewer on the others: bins alone would blame the crew.
  const CrewShare odd_day = with_days({34, -2, -2, -2}).crews[0];
  EXPECT_FALSE(odd_day.differs.has_value());
  EXPECT_EQ(odd_day.reason.value(), CannotTell::days_not_told);
  EXPECT_EQ(odd_day.own_days, 4);
  EXPECT_EQ(odd_day.days_above, 1);
  // As many in all, the same on every day.
  const CrewShare steady = with_days({7, 7, 7, 7}).crews[0];
  EXPECT_TRUE(steady.differs.value());
  EXPECT_EQ(steady.days_above, 4);
}

}  // namespace
}  // namespace maturity
