#include "libmaturity/field/canopy_places.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <set>
#include <stdexcept>
#include <utility>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(CanopyPlace, TwelveFruitSeeEverySideAtEveryHeight) {
  for (const int start : {0, 5, 11}) {
    std::set<std::pair<int, int>> seen;
    for (int fruit = 0; fruit < 12; ++fruit) {
      const CanopyPlace place = canopy_place(fruit, start);
      seen.emplace(place.side, place.height);
    }
    EXPECT_EQ(seen.size(), 12U);
  }
}

// Always drying the fruit with the lowest number would dry low fruit only (three fruit a tree,
// three heights in turn): the blind draw must not.
TEST(DriedFruit, SeeEveryHeightAndSideAlike) {
  constexpr int kTrees = 3000;
  constexpr int kFruit = 3;
  std::map<int, int> heights;
  std::map<int, int> sides;
  std::set<int> heights_of_first;
  const auto dried = draw_dried_fruit(kTrees, kFruit, 1, 4);
  for (int tree = 0; tree < kTrees; ++tree) {
    const CanopyPlace place =
        canopy_place(kFruit * tree + dried[static_cast<std::size_t>(tree)].front(), 0);
    ++heights[place.height];
    ++sides[place.side];
    heights_of_first.insert(canopy_place(kFruit * tree, 0).height);
  }
  EXPECT_EQ(heights_of_first.size(), 1U);
  for (const auto& [height, count] : heights) {
    EXPECT_NEAR(count, kTrees / 3.0, 4.0 * 26.0) << height;  // 4 binomial SD
  }
  for (const auto& [side, count] : sides) {
    EXPECT_NEAR(count, kTrees / 4.0, 4.0 * 24.0) << side;
  }
}

TEST(DriedFruit, SameForASeedAndEachOnce) {
  const auto drawn = draw_dried_fruit(50, 5, 3, 9);
  EXPECT_EQ(drawn, draw_dried_fruit(50, 5, 3, 9));
  EXPECT_NE(drawn, draw_dried_fruit(50, 5, 3, 10));
  for (const auto& tree : drawn) {
    EXPECT_EQ(std::set<int>(tree.begin(), tree.end()).size(), 3U);
  }
}

TEST(CanopyPlace, BadInputIsNamed) {
  EXPECT_THAT([] { canopy_place(-1, 0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("fruit, start: -1")));
  EXPECT_THAT([] { draw_dried_fruit(3, 2, 3, 1); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("dried: 3")));
}

}  // namespace
}  // namespace maturity
