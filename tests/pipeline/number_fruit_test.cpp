#include "libmaturity/pipeline/number_fruit.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace maturity {
namespace {

FruitPlace place(double x, double y, double height = 100.0) {
  FruitPlace p;
  p.centre = {x, y};
  p.height = height;
  const double h = 0.5 * height;
  p.outline = {{x - 40, y - h}, {x + 40, y - h}, {x + 40, y + h}, {x - 40, y + h}};
  return p;
}

std::vector<int> numbers(const std::vector<FruitPlace>& fruit,
                         const std::vector<NumberTile>& tiles = {}) {
  std::vector<int> result;
  for (const FruitNumber& n : number_fruit(fruit, tiles)) {
    result.push_back(n.number);
  }
  return result;
}

TEST(NumberFruit, ReadsRowsFromTheTopAndEachFromTheLeft) {
  EXPECT_EQ(
      numbers({place(300, 20), place(100, 0), place(120, 210), place(200, 40), place(320, 190)}),
      (std::vector<int>{3, 1, 4, 2, 5}));
  EXPECT_TRUE(numbers({}).empty());
  EXPECT_EQ(numbers({place(0, 0)}), std::vector<int>{1});
}

TEST(NumberFruit, ARowEndsWhereCentresDifferByHalfTheSmallerHeight) {
  EXPECT_EQ(numbers({place(300, 0), place(100, 49)}), (std::vector<int>{2, 1}));
  EXPECT_EQ(numbers({place(300, 0), place(100, 51)}), (std::vector<int>{1, 2}));
  EXPECT_EQ(numbers({place(300, 0, 60), place(100, 31)}), (std::vector<int>{1, 2}))
      << "the smaller of the two heights counts";
}

TEST(NumberFruit, ASlopingRowIsMeasuredAgainstItsTopmostFruit) {
  // Each is within half a height of its neighbour, the last is not of the first.
  EXPECT_EQ(numbers({place(100, 60), place(200, 30), place(300, 0)}), (std::vector<int>{3, 1, 2}));
}

TEST(NumberFruit, TheOrderOfTheInputDoesNotMatter) {
  const std::vector<FruitPlace> fruit{place(100, 0),   place(210, 15),  place(320, 4),
                                      place(130, 180), place(260, 200), place(90, 400)};
  std::vector<std::size_t> order{0, 1, 2, 3, 4, 5};
  std::mt19937_64 random(9);
  for (int trial = 0; trial < 30; ++trial) {
    std::shuffle(order.begin(), order.end(), random);
    std::vector<FruitPlace> shuffled;
    shuffled.reserve(order.size());
    for (const std::size_t i : order) {
      shuffled.push_back(fruit[i]);
    }
    const auto result = numbers(shuffled);
    for (std::size_t k = 0; k < order.size(); ++k) {
      EXPECT_EQ(result[k], static_cast<int>(order[k]) + 1);
    }
  }
}

TEST(NumberFruit, ATileGivesItsNumberToTheFruitItLiesAt) {
  const auto result =
      number_fruit({place(100, 0), place(300, 0), place(500, 0)}, {{7, {310, 75}}, {3, {95, -80}}});
  EXPECT_EQ(result[0].number, 3);
  EXPECT_TRUE(result[0].by_tile);
  EXPECT_EQ(result[1].number, 7);
  EXPECT_TRUE(result[1].by_tile);
  EXPECT_EQ(result[2].number, 8) << "above the highest tile";
  EXPECT_FALSE(result[2].by_tile);
}

// A tile in a shadow may not be read: its number must not go to another fruit, or someone's
// weighings would silently belong to the wrong one.
TEST(NumberFruit, ANumberWhoseTileWasNotReadIsGivenToNobody) {
  const std::vector<FruitPlace> fruit{place(100, 0), place(300, 0), place(500, 0)};
  EXPECT_EQ(numbers(fruit, {{1, {100, 70}}, {3, {500, 70}}}), (std::vector<int>{1, 4, 3}));
  EXPECT_EQ(numbers(fruit, {{1, {500, 70}}}), (std::vector<int>{2, 3, 1}));
}

TEST(NumberFruit, ATileFarFromEveryFruitNumbersNone) {
  EXPECT_EQ(numbers({place(100, 0)}, {{5, {100, 155}}}), std::vector<int>{6}) << "105 away";
  EXPECT_EQ(numbers({place(100, 0)}, {{5, {100, 145}}}), std::vector<int>{5}) << "95 away";
}

TEST(NumberFruit, TwoTilesAtOneFruitOrOneNumberTwiceGiveNoNumberTwice) {
  const std::vector<FruitPlace> fruit{place(100, 0), place(300, 0)};
  // Both tiles lie at the first fruit; the nearer one is its, the other goes to the neighbour
  // within reach.
  const auto both = numbers(fruit, {{4, {100, 60}}, {5, {180, 60}}});
  EXPECT_EQ(both, (std::vector<int>{4, 5}));
  // The same number printed twice: the nearer fruit keeps it.
  const auto twice = numbers(fruit, {{4, {100, 55}}, {4, {300, 80}}});
  EXPECT_EQ(twice, (std::vector<int>{4, 5}));
}

// Nearest pairs first would give the tile between two fruit to the wrong one, and the other tile to
// none.
TEST(NumberFruit, ATileBetweenTwoFruitGoesWhereAllTilesFit) {
  const std::vector<FruitPlace> fruit{place(100, 0), place(300, 0)};
  // Tile 1 lies 62 from its own fruit and 58 from the neighbour, whose own lies 70 off.
  const auto result = number_fruit(fruit, {{1, {202, 0}}, {5, {300, 120}}});
  EXPECT_EQ(result[0].number, 1);
  EXPECT_EQ(result[1].number, 5);
}

// Against every permutation: as many tiles placed as can be, then the least sum of distances.
TEST(NumberFruit, TilesAreGivenAsTheBestPermutationWould) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> at(0.0, 500.0);
  for (int trial = 0; trial < 300; ++trial) {
    const std::size_t count = 5;
    const std::size_t tile_count = trial % 2 == 0 ? 3 : 5;
    std::vector<FruitPlace> fruit;
    std::vector<NumberTile> tiles;
    for (std::size_t i = 0; i < count; ++i) {
      fruit.push_back(place(at(random), at(random)));
    }
    for (std::size_t t = 0; t < tile_count; ++t) {
      tiles.push_back({static_cast<int>(t) + 1, {at(random), at(random)}});
    }
    const auto cost_of = [&](std::size_t t, std::size_t i) {
      const double away = distance_to_outline(fruit[i].outline, tiles[t].centre);
      return away <= fruit[i].height ? away : 1e9;
    };
    std::vector<std::size_t> order{0, 1, 2, 3, 4};
    double best = 1e18;
    do {
      double sum = 0.0;
      for (std::size_t t = 0; t < tile_count; ++t) {
        sum += cost_of(t, order[t]);
      }
      best = std::min(best, sum);
    } while (std::next_permutation(order.begin(), order.end()));
    const auto result = number_fruit(fruit, tiles);
    double sum = 0.0;
    std::size_t placed = 0;
    for (std::size_t i = 0; i < count; ++i) {
      if (result[i].by_tile) {
        sum += cost_of(static_cast<std::size_t>(result[i].number) - 1, i);
        ++placed;
      }
    }
    EXPECT_NEAR(sum + 1e9 * static_cast<double>(tile_count - placed), best, 1e-5);
  }
}

TEST(NumberFruit, NumbersAreAlwaysUnique) {
  std::mt19937_64 random(3);
  std::uniform_real_distribution<double> at(0.0, 600.0);
  std::uniform_int_distribution<int> printed(1, 8);
  for (int trial = 0; trial < 200; ++trial) {
    std::vector<FruitPlace> fruit;
    std::vector<NumberTile> tiles;
    for (int i = 0; i < 6; ++i) {
      fruit.push_back(place(at(random), at(random)));
      tiles.push_back({printed(random), {at(random), at(random)}});
    }
    auto result = numbers(fruit, tiles);
    std::sort(result.begin(), result.end());
    EXPECT_EQ(std::adjacent_find(result.begin(), result.end()), result.end());
    EXPECT_GE(result.front(), 1);
  }
}

}  // namespace
}  // namespace maturity
