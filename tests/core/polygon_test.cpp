#include "libmaturity/core/polygon.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "libmaturity/core/convex_hull.h"
#include "libmaturity/core/row_crossings.h"

namespace maturity {
namespace {

// A seven-sided polygon with one reflex corner at (6, 8); its measures follow from sums of
// rationals (computed twice, by the side sums and by slabs).
Polygon seven_sides() { return {{1, 4}, {4, 2}, {13, 1}, {13, 6}, {5, 10}, {6, 8}, {1, 9}}; }

TEST(Polygon, AreaCentroidAndPerimeterOfSevenSides) {
  const Polygon p = seven_sides();
  EXPECT_DOUBLE_EQ(signed_area(p), 75.0);
  EXPECT_NEAR(area_centroid(p).x(), 523.0 / 75.0, 1e-12);
  EXPECT_NEAR(area_centroid(p).y(), 377.0 / 75.0, 1e-12);
  EXPECT_NEAR(perimeter(p), 38.9402958147, 1e-10);
}

TEST(Polygon, HullOfSevenSidesHasAreaSeventyNineAndAHalf) {
  const Polygon hull = convex_hull(seven_sides());
  EXPECT_DOUBLE_EQ(signed_area(hull), 79.5);
  EXPECT_NEAR(perimeter(hull), 35.7283139492, 1e-10);
}

TEST(Polygon, ReversedOrderOnlyChangesTheSign) {
  Polygon p = seven_sides();
  const Polygon screen = counter_clockwise_on_screen(p);
  EXPECT_DOUBLE_EQ(signed_area(screen), -75.0);
  EXPECT_EQ(counter_clockwise_on_screen(screen), screen);
}

TEST(Polygon, ResamplingASquareKeepsEqualSteps) {
  const Polygon square{{0, 0}, {2, 0}, {2, 2}, {0, 2}};
  const Polygon r = resample_by_arc_length(square, 16);
  ASSERT_EQ(r.size(), 16U);
  for (std::size_t i = 0; i < r.size(); ++i) {
    EXPECT_NEAR((r[(i + 1) % 16] - r[i]).norm(), 0.5, 1e-12);
  }
  EXPECT_THROW(resample_by_arc_length(square, 2), std::invalid_argument);
  EXPECT_THROW(resample_by_arc_length({{1, 1}, {1, 1}, {1, 1}}, 8), std::invalid_argument);
}

TEST(Polygon, SimpleSquareAndCrossedBowTie) {
  EXPECT_TRUE(is_simple({{0, 0}, {2, 0}, {2, 2}, {0, 2}}));
  EXPECT_FALSE(is_simple({{0, 0}, {2, 2}, {2, 0}, {0, 2}}));
  EXPECT_TRUE(is_simple(seven_sides()));
}

TEST(Polygon, ContainsAndDistance) {
  const Polygon square{{0, 0}, {2, 0}, {2, 2}, {0, 2}};
  EXPECT_TRUE(contains(square, {1, 1}));
  EXPECT_FALSE(contains(square, {3, 1}));
  EXPECT_DOUBLE_EQ(distance_to_outline(square, {3, 1}), 1.0);
  EXPECT_DOUBLE_EQ(distance_to_outline(square, {5, 6}), 5.0);
}

TEST(Polygon, FarAwayKeepsItsDigits) {
  Polygon p = seven_sides();
  for (Point& q : p) {
    q += Point(1e7, -3e7);
  }
  EXPECT_NEAR(signed_area(p), 75.0, 1e-6);
  EXPECT_NEAR(area_centroid(p).x() - 1e7, 523.0 / 75.0, 1e-6);
}

TEST(Polygon, RowCrossingsTellInsideAsContainsDoes) {
  // An L: its arm crosses the row twice, its foot too.
  const Polygon el{{0, 0}, {6, 0}, {6, 2}, {2, 2}, {2, 5}, {0, 5}};
  EXPECT_EQ(row_crossings(el, 1.0), (std::vector<double>{0.0, 6.0}));
  EXPECT_EQ(row_crossings(el, 3.0), (std::vector<double>{0.0, 2.0}));
  EXPECT_TRUE(row_crossings(el, 7.0).empty());
  for (int row = 0; row < 10; ++row) {
    const double y = -0.5 + 0.7 * row;
    const std::vector<double> cuts = row_crossings(el, y);
    for (int column = 0; column < 26; ++column) {
      const double x = -0.5 + 0.3 * column;
      const auto beyond =
          std::count_if(cuts.begin(), cuts.end(), [x](double cut) { return cut > x; });
      EXPECT_EQ(beyond % 2 == 1, contains(el, {x, y})) << x << ", " << y;
    }
  }
}

}  // namespace
}  // namespace maturity
