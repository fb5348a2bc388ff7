#include "libmaturity/field/walk_route.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <stdexcept>
#include <utility>

namespace maturity {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;

// By hand: row 1 up (57 m), two rows over (18 m), row 3 down (57 m), one over (9 m), row 4 up to
// tree 5 (12 m).
TEST(Serpentine, UpOneRowDownTheNext) {
  const WalkRoute route =
      serpentine_route({{3, 2}, {1, 4}, {4, 5}, {3, 9}, {1, 1}}, {20, 9.0, 3.0});
  EXPECT_THAT(route.order, ElementsAre(4, 1, 3, 0, 2));
  EXPECT_NEAR(route.length_m, 57.0 + 18.0 + 57.0 + 9.0 + 12.0, 1e-12);
}

TEST(Serpentine, LastRowIsLeftAtItsLastStop) {
  EXPECT_NEAR(serpentine_route({{1, 4}}, {20, 9.0, 3.0}).length_m, 9.0, 1e-12);
  EXPECT_NEAR(serpentine_route({{1, 4}, {2, 18}}, {20, 9.0, 3.0}).length_m, 57.0 + 9.0 + 6.0,
              1e-12);
  EXPECT_THAT(serpentine_route({}, {20, 9.0, 3.0}).order, IsEmpty());
}

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

TEST(Serpentine, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        serpentine_route({{1, 21}}, {20, 9.0, 3.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("stop 1: row 1, tree 21")));
  EXPECT_THAT(
      [] {
        serpentine_route({{1, 2}}, {20, -9.0, 3.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("spacing: -9")));
}

}  // namespace
}  // namespace maturity
