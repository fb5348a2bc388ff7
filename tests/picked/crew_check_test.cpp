#include "libmaturity/picked/crew_check.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "libmaturity/stats/proportion.h"

namespace maturity {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Pair;
using testing::ThrowsMessage;

TEST(CompareCrews, CrewsAreComparedWithinBlockAndMethodOnly) {
  // Each crew works a block of its own: the blocks differ, nothing can be said of the crews.
  std::vector<BinCheck> checks;
  for (int b = 0; b < 6; ++b) {
    checks.push_back({"B1", "pole", "d", "A", std::to_string(b), 30, 2 + b % 2});
    checks.push_back({"B2", "pole", "d", "B", std::to_string(b), 30, 14 + b % 2});
  }
  const CrewComparison result = compare_crews(checks);
  for (const CrewShare& crew : result.crews) {
    EXPECT_FALSE(crew.differs.has_value());
    EXPECT_EQ(crew.reason.value(), CannotTell::nobody_to_compare);
  }
}

TEST(CompareCrews, TooLittleIsSaidAsSuch) {
  const CrewComparison few =
      compare_crews({{"B1", "", "d", "A", "", 5, 3}, {"B1", "", "d", "B", "", 200, 10}});
  EXPECT_EQ(few.crews[0].reason.value(), CannotTell::too_few_fruit);
  EXPECT_EQ(few.crews[1].reason.value(), CannotTell::too_few_fruit);
  EXPECT_FALSE(few.design_effect.has_value());
  EXPECT_EQ(few.compared_by, ComparedBy::assumed_spread);
  std::vector<BinCheck> one{{"B1", "", "d", "A", "1", 30, 20}};
  for (int b = 0; b < 8; ++b) {
    one.push_back({"B1", "", "d", "B", std::to_string(b), 30, 2 + b % 3});
  }
  EXPECT_EQ(compare_crews(one).crews[0].reason.value(), CannotTell::one_bin);
}

TEST(CompareCrews, OtherDaysAreNotTheSameFruit) {
  // Crew A picked on the first days, B and C later, when less was left unripe.
  std::vector<BinCheck> checks;
  for (int b = 0; b < 6; ++b) {
    const std::string bin = std::to_string(b);
    checks.push_back({"B1", "pole", b < 3 ? "d1" : "d2", "A", bin, 30, 12 + b % 2});
    checks.push_back({"B1", "pole", b < 3 ? "d3" : "d4", "B", bin, 30, 2 + b % 2});
    checks.push_back({"B1", "pole", b < 3 ? "d3" : "d4", "C", bin, 30, 3 - b % 2});
  }
  const CrewComparison result = compare_crews(checks);
  EXPECT_FALSE(result.crews[0].differs.has_value());
  EXPECT_EQ(result.crews[0].reason.value(), CannotTell::other_days);
  EXPECT_FALSE(result.crews[0].others_share.has_value());
  EXPECT_FALSE(result.crews[1].differs.value());
  EXPECT_NEAR(result.crews[1].others_share.value(), 15.0 / 180.0, 1e-12);
}

TEST(CompareCrews, AnotherDayAloneTurnsNoVerdictRound) {
  // Beside A, B has three times as many; its good day alone must not make that "fewer".
  std::vector<BinCheck> checks;
  for (int b = 0; b < 6; ++b) {
    const std::string bin = std::to_string(b);
    checks.push_back({"B1", "pole", "d1", "A", bin, 50, 4 + b % 3});
    checks.push_back({"B1", "pole", "d1", "B", bin, 50, 14 + b % 3});
  }
  for (int b = 0; b < 30; ++b) {
    checks.push_back({"B1", "pole", "d2", "B", "alone" + std::to_string(b), 50, b % 2});
  }
  const CrewComparison result = compare_crews(checks);
  const CrewShare& other = result.crews[1];
  EXPECT_TRUE(other.differs.value());
  EXPECT_NEAR(other.own_share.value(), 0.30, 1e-12);
  EXPECT_NEAR(other.others_share.value(), 0.10, 1e-12);
  EXPECT_EQ(other.own_checked, 300);
  EXPECT_LT(other.share, 0.10) << "the raw share says the opposite";
  EXPECT_GT(other.shrunk_share.value(), result.crews[0].shrunk_share.value());
  // Days that differ are not bins that vary.
  EXPECT_LT(result.design_effect.value(), 1.2);
  EXPECT_EQ(result.spare_bins, 5 + 5 + 29);
}

TEST(CompareCrews, SecondBadCrewIsHeldAgainstTheRestOnly) {
  std::vector<BinCheck> checks;
  for (int b = 0; b < 8; ++b) {
    const std::string bin = std::to_string(b);
    checks.push_back({"B1", "", "d", "worst", bin, 50, 34 + b % 3});
    checks.push_back({"B1", "", "d", "bad", bin, 50, 9 + b % 3});
    checks.push_back({"B1", "", "d", "one", bin, 50, 1 + b % 3});
    checks.push_back({"B1", "", "d", "two", bin, 50, 3 - b % 3});
  }
  const CrewShare bad = compare_crews(checks).crews[0];
  ASSERT_EQ(bad.crew, "bad");
  EXPECT_TRUE(bad.differs.value());
  EXPECT_GT(bad.own_share.value(), bad.others_share.value());
}

TEST(CompareCrews, OneBadCrewDoesNotMakeTheOthersLookGood) {
  std::vector<BinCheck> checks;
  for (int b = 0; b < 8; ++b) {
    const std::string bin = std::to_string(b);
    checks.push_back({"B1", "", "d", "bad", bin, 50, 20 + b % 3});
    checks.push_back({"B1", "", "d", "one", bin, 50, 3 + b % 3});
    checks.push_back({"B1", "", "d", "two", bin, 50, 4 - b % 3});
  }
  const CrewComparison result = compare_crews(checks);
  EXPECT_TRUE(result.crews[0].differs.value());
  EXPECT_FALSE(result.crews[1].differs.value());
  EXPECT_FALSE(result.crews[2].differs.value());
  EXPECT_GT(result.crews[0].share, result.crews[0].others_share.value());
}

TEST(CompareCrews, OfTwoCrewsBothDifferFromEachOther) {
  std::vector<BinCheck> checks;
  for (int b = 0; b < 8; ++b) {
    checks.push_back({"B1", "", "d", "A", std::to_string(b), 50, 20 + b % 3});
    checks.push_back({"B1", "", "d", "B", std::to_string(b), 50, 3 + b % 3});
  }
  for (const CrewShare& crew : compare_crews(checks).crews) {
    EXPECT_TRUE(crew.differs.value()) << crew.crew;
  }
}

TEST(CompareCrews, TooFewBinsToShuffleAreJudgedByTheirSpread) {
  // Four crews with two bins: the best shuffling could say is 4 in 28.
  std::vector<BinCheck> checks;
  for (const auto* const crew : {"A", "B", "C", "D"}) {
    for (int b = 0; b < 2; ++b) {
      checks.push_back({"B1", "", "d", crew, std::to_string(b), 50, crew[0] == 'A' ? 25 : 2 + b});
    }
  }
  const CrewComparison result = compare_crews(checks);
  EXPECT_EQ(result.compared_by, ComparedBy::bin_spread);
  EXPECT_EQ(result.spare_bins, 4);
  EXPECT_TRUE(result.crews[0].differs.value());
  EXPECT_FALSE(result.crews[1].differs.value());
}

TEST(CompareCrews, AllCrewsTogether) {
  const CrewComparison result =
      compare_crews({{"B1", "", "d", "A", "", 100, 10}, {"B1", "", "d", "B", "", 50, 20}});
  EXPECT_EQ(result.whole->checked, 150);
  EXPECT_NEAR(result.whole->share, 0.2, 1e-12);
  EXPECT_FALSE(compare_crews({}).whole.has_value());
}

TEST(CompareCrews, BlocksAreNotRankedAsIfTheyWereCrews) {
  const CrewComparison result =
      compare_crews({{"B1", "", "d", "A", "", 100, 10}, {"B2", "", "d", "B", "", 100, 30}});
  EXPECT_FALSE(result.crews[0].shrunk_share.has_value());
}

TEST(CompareCrews, WithoutBinsALargeDifferenceIsStillSeen) {
  const CrewComparison result =
      compare_crews({{"B1", "", "d", "A", "", 200, 10}, {"B1", "", "d", "B", "", 200, 60}});
  EXPECT_TRUE(result.crews[0].differs.value());
  EXPECT_TRUE(result.crews[1].differs.value());
  const CrewComparison same =
      compare_crews({{"B1", "", "d", "A", "", 200, 20}, {"B1", "", "d", "B", "", 200, 24}});
  EXPECT_FALSE(same.crews[0].differs.value());
  // 20 and 38 of 200 would differ if every fruit stood for itself; of bins nothing is known.
  const CrewComparison unsure =
      compare_crews({{"B1", "", "d", "A", "", 200, 20}, {"B1", "", "d", "B", "", 200, 38}});
  EXPECT_EQ(unsure.crews[0].reason.value(), CannotTell::bins_not_told);
  EXPECT_FALSE(unsure.crews[0].differs.has_value());
}

TEST(CompareCrews, IntervalsOfUnnamedBinsTakeTheAssumedLikeness) {
  const CrewComparison result =
      compare_crews({{"B1", "", "d", "A", "", 50, 5}, {"B1", "", "d", "B", "", 50, 9}});
  // 50 fruit of a bin vary 1 + 49 * 0.03 = 2.47 times as much as single ones.
  const Bounds expected = proportion_interval(5.0 / 2.47, 50.0 / 2.47, 0.95);
  EXPECT_NEAR(result.crews[0].interval.low, expected.low, 1e-12);
  EXPECT_NEAR(result.crews[0].interval.high, expected.high, 1e-12);
  EXPECT_GT(result.crews[0].interval.high, result.crews[0].wilson.high + 0.03);
  const Bounds whole = proportion_interval(14.0 / 2.47, 100.0 / 2.47, 0.95);
  EXPECT_NEAR(result.whole->interval.high, whole.high, 1e-12);
}

TEST(CompareCrews, SmallCrewsAreDrawnTogetherForRanking) {
  std::vector<BinCheck> checks{{"B1", "", "d", "small", "", 10, 5}};
  for (const auto* const crew : {"A", "B", "C", "D"}) {
    for (int b = 0; b < 40; ++b) {
      const int found = 1 + (b < (crew[0] - 'A') * 15 ? 1 : 0);
      checks.push_back({"B1", "", "d", crew, std::to_string(b), 10, found});
    }
  }
  const CrewComparison result = compare_crews(checks);
  const CrewShare& small = result.crews.back();
  EXPECT_EQ(small.crew, "small");
  EXPECT_NEAR(small.share, 0.5, 1e-12);
  // Ten fruit lend themselves far more to the others than four hundred do.
  const double small_moved = small.share - small.shrunk_share.value();
  const double large_moved = result.crews[0].shrunk_share.value() - result.crews[0].share;
  EXPECT_GT(small_moved, 0.1);
  EXPECT_GT(large_moved, 0.0);
  EXPECT_GT(small_moved, 10.0 * large_moved);
}

TEST(CompareCrews, ACrewOfTheBadDaysIsRankedAgainstThoseDays) {
  // On the bad day B has less than A beside it, yet more than anybody on the good day.
  std::vector<BinCheck> checks;
  for (int b = 0; b < 8; ++b) {
    const std::string bin = std::to_string(b);
    checks.push_back({"B1", "", "bad day", "A", bin, 50, 14 + b % 2});
    checks.push_back({"B1", "", "bad day", "B", bin, 50, 10 + b % 2});
    checks.push_back({"B1", "", "good day", "A", bin, 50, 2 + b % 2});
    checks.push_back({"B1", "", "good day", "C", bin, 50, 2 + b % 2});
  }
  const std::vector<CrewShare> crews = compare_crews(checks).crews;
  EXPECT_GT(crews[1].share, crews[0].share);
  EXPECT_LT(crews[1].shrunk_share.value(), crews[0].shrunk_share.value());
}

TEST(CompareCrews, NamesThatLookAlikeAreOffered) {
  const CrewComparison result = compare_crews({{"B1", "", "d", "Red team", "", 30, 3},
                                               {"B1", "", "d", "red  Team", "", 30, 3},
                                               {"B1", "", "d", "blue", "", 30, 3}});
  EXPECT_THAT(result.similar_names, ElementsAre(Pair("Red team", "red  Team")));
  EXPECT_EQ(result.crews.size(), 3U);
  EXPECT_THAT(compare_crews({}).crews, IsEmpty());
}

TEST(CompareCrews, BadInputIsNamed) {
  const auto refused = [](const std::vector<BinCheck>& checks, const std::string& why) {
    EXPECT_THAT([&] { compare_crews(checks); },
                ThrowsMessage<std::invalid_argument>(HasSubstr(why)));
  };
  refused({{"B1", "", "d", "A", "1", 10, 11}}, "found, row 1: 11");
  refused({{"B1", "", "d", "A", "1", 0, 0}}, "checked, row 1: 0");
  refused({{"B1", "", "d", "", "1", 10, 1}}, "row 1: blank");
  EXPECT_THAT(
      [] {
        compare_crews({}, {0.95, 1.5});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("false_alarm: 1.5")));
  refused({{"B1", "", "d", "A", "1", 10, 1}, {"B1", "", "d", "A", "1", 12, 1}}, "bin, row 2: 1");
}

}  // namespace
}  // namespace maturity
