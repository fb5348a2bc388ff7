#include "libmaturity/outline/cyclic_path.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <random>

namespace maturity {
namespace {

// Where row `row` of column `column` stands in the list of costs.
std::size_t place(int column, int rows, int row) {
  return static_cast<std::size_t>(column) * static_cast<std::size_t>(rows) +
         static_cast<std::size_t>(row);
}

struct Ring {
  std::vector<float> cost;
  int columns;
  int rows;
  int reach;
  float stiffness;
};

constexpr double kRounding = 1e-6;  // of sums of floats

// Price of a closed path, infinite where it jumps too far.
double price(const Ring& ring, const std::vector<int>& path) {
  double sum = 0.0;
  for (int c = 0; c < ring.columns; ++c) {
    const int here = path.at(static_cast<std::size_t>(c));
    const int change = path.at(static_cast<std::size_t>((c + 1) % ring.columns)) - here;
    if (std::abs(change) > ring.reach) {
      return std::numeric_limits<double>::infinity();
    }
    sum += static_cast<double>(ring.cost.at(place(c, ring.rows, here))) +
           static_cast<double>(ring.stiffness) * change * change;
  }
  return sum;
}

// Every path there is.
double cheapest_of_all(const Ring& ring) {
  std::vector<int> path(static_cast<std::size_t>(ring.columns), 0);
  double least = std::numeric_limits<double>::infinity();
  while (true) {
    least = std::min(least, price(ring, path));
    std::size_t c = 0;
    while (c < path.size() && ++path[c] == ring.rows) {
      path[c++] = 0;
    }
    if (c == path.size()) {
      return least;
    }
  }
}

double found_price(const Ring& ring) {
  const auto path =
      cheapest_closed_path(ring.cost, ring.columns, ring.rows, ring.reach, ring.stiffness);
  EXPECT_EQ(path.size(), static_cast<std::size_t>(ring.columns));
  return price(ring, path);
}

Ring random_ring(std::mt19937_64& random, int columns, int rows, int reach, float stiffness) {
  std::uniform_real_distribution<float> cost(-1.0F, 1.0F);
  Ring ring{{}, columns, rows, reach, stiffness};
  for (int i = 0; i < columns * rows; ++i) {
    ring.cost.push_back(cost(random));
  }
  return ring;
}

TEST(CyclicPath, IsClosedAndNeverBetterThanTheBestOfAllPaths) {
  std::mt19937_64 random(31);
  for (int trial = 0; trial < 300; ++trial) {
    const Ring ring = random_ring(random, 3 + trial % 5, 2 + trial % 4, 1 + trial % 2, 0.3F);
    const double price_found = found_price(ring);
    EXPECT_TRUE(std::isfinite(price_found)) << trial;
    EXPECT_GE(price_found, cheapest_of_all(ring) - 1e-12) << trial;
  }
}

TEST(CyclicPath, IsTheBestOfAllPathsWhereOneLineStandsOut) {
  // As for a fruit: a valley that winds a little, in noise half as deep.
  std::mt19937_64 random(77);
  std::uniform_real_distribution<float> noise(-0.5F, 0.0F);
  for (int trial = 0; trial < 100; ++trial) {
    Ring ring{std::vector<float>(35), 7, 5, 1, 0.1F};
    std::vector<int> valley{2, 2, 3, 3, 2, 1, 1};
    std::rotate(valley.begin(), valley.begin() + trial % 7, valley.end());
    for (int c = 0; c < 7; ++c) {
      for (int r = 0; r < 5; ++r) {
        ring.cost[place(c, 5, r)] =
            noise(random) - (r == valley[static_cast<std::size_t>(c)] ? 1.0F : 0.0F);
      }
    }
    EXPECT_NEAR(found_price(ring), cheapest_of_all(ring), kRounding) << trial;
  }
}

TEST(CyclicPath, OnPureNoiseItIsNearTheBest) {
  std::mt19937_64 random(5);
  int best = 0;
  double excess = 0.0;
  constexpr int kTrials = 200;
  for (int trial = 0; trial < kTrials; ++trial) {
    const Ring ring = random_ring(random, 7, 4, 1, 0.3F);
    const double over = found_price(ring) - cheapest_of_all(ring);
    best += over < kRounding ? 1 : 0;
    excess += over / kTrials;
  }
  RecordProperty("best_of_200", best);
  EXPECT_GE(best, 140);
  EXPECT_LT(excess, 0.1);
}

TEST(CyclicPath, StiffnessFlattensThePath) {
  // One column whose cheapest row lies three rows off.
  Ring ring{std::vector<float>(56, 0.0F), 8, 7, 3, 0.0F};
  for (int c = 0; c < 8; ++c) {
    ring.cost[place(c, 7, 3)] = -1.0;
  }
  ring.cost[4 * 7 + 6] = -2.0;
  const auto loose = cheapest_closed_path(ring.cost, 8, 7, 3, 0.0);
  EXPECT_EQ(loose[4], 6);
  const auto stiff = cheapest_closed_path(ring.cost, 8, 7, 3, 1.0);
  EXPECT_EQ(stiff, std::vector<int>(8, 3));
}

TEST(CyclicPath, TheSeamIsNoExceptionToTheReach) {
  // Open, the cheapest path climbs one row a column and cannot close.
  Ring ring{std::vector<float>(36, 0.0F), 6, 6, 1, 0.0F};
  for (int c = 0; c < 6; ++c) {
    ring.cost[place(c, 6, c)] = -1.0;
  }
  EXPECT_TRUE(std::isfinite(found_price(ring)));
  EXPECT_NEAR(found_price(ring), cheapest_of_all(ring), 1.0);
}

TEST(CyclicPath, OneRowIsAPathToo) {
  EXPECT_EQ(cheapest_closed_path({3, 1, 2, 5}, 4, 1, 1, 0.5), (std::vector<int>{0, 0, 0, 0}));
}

}  // namespace
}  // namespace maturity
