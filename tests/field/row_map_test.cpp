#include "libmaturity/field/row_map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// Length of one degree at 45 degrees north, WGS 84: 111 131.8 m of latitude, 78 846.8 m of
// longitude (standard table, from memory).
TEST(LocalPlaces, DegreeAtFortyFiveNorth) {
  const auto places =
      local_places({{45.0, 7.0}, {45.0, 7.001}, {44.9995, 7.0005}, {45.0005, 7.0005}});
  EXPECT_NEAR(places[1].x_m - places[0].x_m, 78.8468, 1e-3);
  EXPECT_NEAR(places[3].y_m - places[2].y_m, 111.1318, 1e-3);
}

TEST(LocalPlaces, SphereWouldMissTheTable) {
  EXPECT_GT(std::abs(6371008.8 * 0.001 * std::acos(-1.0) / 180.0 - 111.1318), 0.05);
}

TEST(LocalPlaces, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        local_places({{91.0, 0.0}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("latitude: 91")));
  EXPECT_THAT(
      [] {
        local_places({{0.0, 179.9}, {0.0, -179.9}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("trees of one block")));
}

/// Three rows of four trees, 8 m and 5 m apart, turned by an angle.
std::vector<TreePlace> turned(double angle) {
  std::vector<TreePlace> places;
  for (int row = 0; row < 3; ++row) {
    for (int tree = 0; tree < 4; ++tree) {
      const double x = 5.0 * tree;
      const double y = 8.0 * row;
      places.push_back(
          {x * std::cos(angle) - y * std::sin(angle), x * std::sin(angle) + y * std::cos(angle)});
    }
  }
  return places;
}

TEST(TreesInRows, AnyDirectionGivesTheSameRows) {
  const std::vector<int> rows{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2};
  for (const double angle : {0.0, 0.7, 1.6, 3.0, -2.0}) {
    const auto trees = trees_in_rows(rows, turned(angle));
    for (std::size_t i = 0; i < trees.size(); ++i) {
      const auto across = static_cast<double>(rows[i]);
      EXPECT_EQ(trees[i].row, rows[i]) << angle;
      EXPECT_NEAR(trees[i].along_m - trees[0].along_m, 5.0 * static_cast<double>(i % 4), 1e-9);
      EXPECT_NEAR(trees[i].across_m - trees[0].across_m, 8.0 * across, 1e-9);
    }
  }
}

TEST(TreesInRows, RowsAreOrderedByWhereTheyLie) {
  // Listed 10, 30, 20, but row 20 lies between.
  const auto trees =
      trees_in_rows({10, 10, 30, 30, 20, 20}, {{0, 0}, {5, 0}, {0, 16}, {5, 16}, {0, 8}, {5, 8}});
  EXPECT_EQ(trees[0].row, 0);
  EXPECT_EQ(trees[2].row, 2);
  EXPECT_EQ(trees[4].row, 1);
}

TEST(TreesInRows, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        trees_in_rows({1, 2}, {{0, 0}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("row: 2 values")));
}

}  // namespace
}  // namespace maturity
