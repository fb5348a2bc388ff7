#include "libmaturity/field/walk_route.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <stdexcept>

#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;

/// Rows of equal length: 9 m apart, trees 3 m apart.
std::vector<RowTree> planted(int rows, int trees) {
  std::vector<RowTree> all;
  for (int row = 0; row < rows; ++row) {
    for (int tree = 0; tree < trees; ++tree) {
      all.push_back({row, 3.0 * tree, 9.0 * row});
    }
  }
  return all;
}

std::size_t at(int row, int tree) { return static_cast<std::size_t>(20 * (row - 1) + tree - 1); }

// By hand: row 1 up (57 m), two rows over (18 m), row 3 down (57 m), one over (9 m), row 4 up to
// tree 5 (12 m).
TEST(Serpentine, UpOneRowDownTheNext) {
  const WalkRoute route =
      serpentine_route(planted(4, 20), {at(3, 2), at(1, 4), at(4, 5), at(3, 9), at(1, 1)});
  EXPECT_THAT(route.order, ElementsAre(at(1, 1), at(1, 4), at(3, 9), at(3, 2), at(4, 5)));
  EXPECT_THAT(route.path, ElementsAre(at(1, 1), at(1, 4), at(1, 20), at(3, 20), at(3, 9), at(3, 2),
                                      at(3, 1), at(4, 1), at(4, 5)));
  EXPECT_NEAR(route.length_m, 57.0 + 18.0 + 57.0 + 9.0 + 12.0, 1e-12);
}

TEST(Serpentine, LastRowIsLeftAtItsLastStop) {
  EXPECT_NEAR(serpentine_route(planted(2, 20), {at(1, 4)}).length_m, 9.0, 1e-12);
  EXPECT_NEAR(serpentine_route(planted(2, 20), {at(1, 4), at(2, 18)}).length_m, 57.0 + 9.0 + 6.0,
              1e-12);
  EXPECT_THAT(serpentine_route(planted(2, 20), {}).order, IsEmpty());
}

// A shorter second row is entered and left at its own ends.
TEST(Serpentine, RowsOfUnequalLengthTurnAtTheirOwnEnds) {
  const std::vector<RowTree> trees{{0, 0, 0}, {0, 3, 0}, {0, 6, 0}, {1, 0, 4},
                                   {1, 3, 4}, {2, 0, 8}, {2, 3, 8}};
  const WalkRoute route = serpentine_route(trees, {1, 3, 5});
  EXPECT_THAT(route.path, ElementsAre(0U, 1U, 2U, 4U, 3U, 5U));
  EXPECT_NEAR(route.length_m, 6.0 + 5.0 + 3.0 + 4.0, 1e-12);
}

// A property of any draw: every stop once, and rows change between row ends only.
TEST(Serpentine, NeverCrossesARowMidWay) {
  const auto trees = planted(6, 9);
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    RandomStream stream(seed);
    std::set<std::size_t> stops;
    while (stops.size() < 11) {
      stops.insert(stream.below(trees.size()));
    }
    const WalkRoute route = serpentine_route(trees, {stops.begin(), stops.end()});
    EXPECT_EQ(std::set<std::size_t>(route.order.begin(), route.order.end()), stops);
    for (std::size_t i = 1; i < route.path.size(); ++i) {
      const RowTree& from = trees[route.path[i - 1]];
      const RowTree& to = trees[route.path[i]];
      if (from.row != to.row) {
        EXPECT_EQ(from.along_m, to.along_m);
        EXPECT_TRUE(from.along_m == 0.0 || from.along_m == 24.0) << seed;
      }
    }
  }
}

TEST(Serpentine, BadInputIsNamed) {
  EXPECT_THAT([] { serpentine_route(planted(1, 20), {20}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("stops: 20")));
  EXPECT_THAT(
      [] {
        serpentine_route(planted(1, 20), {3, 3});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("each once")));
  EXPECT_THAT(
      [] {
        serpentine_route({{0, NAN, 0.0}}, {});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("tree 0")));
}

}  // namespace
}  // namespace maturity
