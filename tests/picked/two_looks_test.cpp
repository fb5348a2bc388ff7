#include "libmaturity/picked/two_looks.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// Newcombe 1998, case (a): 56/70 less 48/80 is 0.2000, 0.0524 to 0.3339 (from memory).
TEST(CompareLooks, NewcombesExample) {
  const LateDamage late = compare_looks({48, 80}, {56, 70});
  EXPECT_NEAR(late.difference, 0.2, 1e-12);
  EXPECT_NEAR(late.interval.low, 0.0524, 5e-5);
  EXPECT_NEAR(late.interval.high, 0.3339, 5e-5);
  EXPECT_TRUE(late.rose.value());
}

TEST(CompareLooks, SwappingTheLooksTurnsTheSign) {
  const LateDamage up = compare_looks({3, 50}, {9, 40});
  const LateDamage down = compare_looks({9, 40}, {3, 50});
  EXPECT_NEAR(up.difference, -down.difference, 1e-12);
  EXPECT_NEAR(up.interval.low, -down.interval.high, 1e-12);
  EXPECT_FALSE(down.rose.value());
}

TEST(CompareLooks, TooFewFruitCannotTell) {
  EXPECT_FALSE(compare_looks({0, 10}, {10, 10}).rose.has_value());
}

// Twenty crews, nothing shows late: one day in twenty may cry wolf, not more.
TEST(CompareLooks, ManyCrewsDoNotCryWolf) {
  RandomStream stream(31);
  const auto draw = [&](int fruit) {
    LookCount look{0.0, static_cast<double>(fruit)};
    for (int i = 0; i < fruit; ++i) {
      look.found += stream.uniform() < 0.1 ? 1 : 0;
    }
    return look;
  };
  int days = 0;
  int naive_days = 0;
  constexpr int kRuns = 1000;
  for (int run = 0; run < kRuns; ++run) {
    bool any = false;
    bool naive = false;
    for (int crew = 0; crew < 20; ++crew) {
      const LookCount arrival = draw(100);
      const LookCount held = draw(60);
      any = any || compare_looks(arrival, held, {0.95, 20}).rose.value();
      naive = naive || compare_looks(arrival, held).rose.value();  // wrong on purpose
    }
    days += any ? 1 : 0;
    naive_days += naive ? 1 : 0;
  }
  EXPECT_LE(days / static_cast<double>(kRuns), 0.05 + 2.0 * std::sqrt(0.05 * 0.95 / kRuns));
  EXPECT_GT(naive_days / static_cast<double>(kRuns), 0.2);
}

TEST(CompareLooks, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        compare_looks({1, 0}, {1, 10});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("checked: 0")));
  EXPECT_THAT(
      [] {
        compare_looks({1, 10}, {11, 10});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("found: 11")));
}

}  // namespace
}  // namespace maturity
