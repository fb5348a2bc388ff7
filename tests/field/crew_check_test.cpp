#include "libmaturity/field/crew_check.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Pair;
using testing::ThrowsMessage;

/// Bins whose own share moves about that of their crew: `spread` up or down with equal chance.
std::vector<BinCheck> drawn(const std::vector<double>& shares, int bins, int fruit, double spread,
                            RandomStream& stream) {
  std::vector<BinCheck> checks;
  for (std::size_t c = 0; c < shares.size(); ++c) {
    for (int b = 0; b < bins; ++b) {
      const double own = shares[c] + (stream.uniform() < 0.5 ? spread : -spread);
      BinCheck check{"B1",  "pole", "2031-02-01", "crew " + std::to_string(c), std::to_string(b),
                     fruit, 0};
      for (int i = 0; i < fruit; ++i) {
        check.found += stream.uniform() < own ? 1 : 0;
      }
      checks.push_back(check);
    }
  }
  return checks;
}

CrewOptions quick() {
  CrewOptions options;
  options.shuffles = 199;
  return options;
}

// Many crews, no true difference, bins that differ a lot: at most 5 % of days cry wolf.
TEST(CompareCrews, RarelyCriesWolf) {
  RandomStream stream(21);
  int days = 0;
  int naive_days = 0;
  constexpr int kDays = 400;
  for (int day = 0; day < kDays; ++day) {
    const auto checks = drawn(std::vector<double>(8, 0.15), 6, 20, 0.12, stream);
    bool wolf = false;
    for (const CrewShare& crew : compare_crews(checks, quick()).crews) {
      wolf = wolf || crew.differs.value();
    }
    days += wolf ? 1 : 0;
    // Wrong on purpose: fruit taken as independent (bins not told apart).
    std::vector<BinCheck> merged;
    for (const BinCheck& check : checks) {
      if (!merged.empty() && merged.back().crew == check.crew) {
        merged.back().checked += check.checked;
        merged.back().found += check.found;
      } else {
        merged.push_back(check);
      }
    }
    wolf = false;
    for (const CrewShare& crew : compare_crews(merged, quick()).crews) {
      wolf = wolf || crew.differs.value();
    }
    naive_days += wolf ? 1 : 0;
  }
  EXPECT_LE(static_cast<double>(days) / kDays, 0.075);  // 0.05 and 2.3 standard errors
  EXPECT_GT(static_cast<double>(naive_days) / kDays, 0.12);
}

TEST(CompareCrews, FindsACrewThatIsReallyDifferent) {
  RandomStream stream(22);
  int found = 0;
  for (int day = 0; day < 50; ++day) {
    const auto result = compare_crews(drawn({0.1, 0.1, 0.1, 0.4}, 6, 20, 0.05, stream), quick());
    found += result.crews[3].differs.value() ? 1 : 0;
    EXPECT_TRUE(result.by_shuffling);
  }
  EXPECT_GE(found, 45);
}

TEST(CompareCrews, ClusteredIntervalCoversWhereThePlainOneDoesNot) {
  RandomStream stream(23);
  int clustered = 0;
  int plain = 0;
  int crews = 0;
  for (int day = 0; day < 200; ++day) {
    for (const CrewShare& crew :
         compare_crews(drawn(std::vector<double>(4, 0.2), 8, 25, 0.15, stream), quick()).crews) {
      ++crews;
      clustered += crew.interval.low <= 0.2 && 0.2 <= crew.interval.high ? 1 : 0;
      plain += crew.wilson.low <= 0.2 && 0.2 <= crew.wilson.high ? 1 : 0;
    }
  }
  EXPECT_NEAR(static_cast<double>(clustered) / crews, 0.95, 0.035);
  EXPECT_LT(static_cast<double>(plain) / crews, 0.85);
}

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
  EXPECT_FALSE(few.by_shuffling);
  std::vector<BinCheck> one{{"B1", "", "d", "A", "1", 30, 20}};
  for (int b = 0; b < 8; ++b) {
    one.push_back({"B1", "", "d", "B", std::to_string(b), 30, 2 + b % 3});
  }
  EXPECT_EQ(compare_crews(one).crews[0].reason.value(), CannotTell::one_bin);
}

TEST(CompareCrews, WithoutBinsALargeDifferenceIsStillSeen) {
  const CrewComparison result =
      compare_crews({{"B1", "", "d", "A", "", 200, 10}, {"B1", "", "d", "B", "", 200, 60}});
  EXPECT_TRUE(result.crews[0].differs.value());
  EXPECT_TRUE(result.crews[1].differs.value());
  const CrewComparison same =
      compare_crews({{"B1", "", "d", "A", "", 200, 20}, {"B1", "", "d", "B", "", 200, 24}});
  EXPECT_FALSE(same.crews[0].differs.value());
}

TEST(CompareCrews, SmallCrewsAreDrawnTogetherForRanking) {
  std::vector<BinCheck> checks{{"B1", "", "d", "small", "", 10, 5}};
  for (const auto* const crew : {"A", "B", "C", "D"}) {
    checks.push_back({"B1", "", "d", crew, "", 400, 40 + (crew[0] - 'A') * 15});
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
  refused({{"B1", "", "d", "A", "1", 10, 1}, {"B1", "", "d", "A", "1", 12, 1}}, "bin, row 2: 1");
}

}  // namespace
}  // namespace maturity
