#include "libmaturity/pipeline/stem_bump.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libmaturity/core/polygon.h"

namespace maturity {
namespace {

constexpr double kLength = 120.0;
const Point kStem(-60.0, 0.0);

// Ellipse of 120 x 90 mm with `height` mm added over about 8 mm at the stem.
Polygon fruit(double height) {
  Polygon outline;
  for (int i = 0; i < 2000; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 2000.0;
    const Point on(60.0 * std::cos(t), 45.0 * std::sin(t));
    const double bump = height * std::exp(-0.5 * std::pow((on - kStem).norm() / 3.0, 2));
    outline.emplace_back(on * (1.0 + bump / on.norm()));
  }
  return resample_by_arc_length(outline, 360);
}

double farthest(const Polygon& outline, const Polygon& from) {
  double most = 0.0;
  for (const Point& p : outline) {
    most = std::max(most, distance_to_outline(from, p));
  }
  return most;
}

TEST(StemBump, ASmoothEndIsLeftAsItIs) {
  Polygon outline = fruit(0.0);
  const Polygon before = outline;
  EXPECT_FALSE(take_off_stem_bump(outline, kStem, kLength));
  EXPECT_EQ(outline, before);
}

TEST(StemBump, AScarIsTakenOff) {
  Polygon outline = fruit(1.5);
  ASSERT_GT(farthest(outline, fruit(0.0)), 1.3);
  EXPECT_TRUE(take_off_stem_bump(outline, Point(-61.0, 1.0), kLength));
  EXPECT_LT(farthest(outline, fruit(0.0)), 0.2);
}

TEST(StemBump, AHollowIsLeftAsItIs) {
  Polygon outline = fruit(-1.5);
  const Polygon before = outline;
  EXPECT_FALSE(take_off_stem_bump(outline, kStem, kLength));
  EXPECT_EQ(outline, before);
}

// A hollow whose rim lies within the reach: the rim stands out, its middle does not.
TEST(StemBump, ANarrowHollowKeepsItsRim) {
  Polygon outline;
  for (int i = 0; i < 2000; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 2000.0;
    const Point on(60.0 * std::cos(t), 45.0 * std::sin(t));
    const double away = (on - kStem).norm() / 2.5;
    const double ring = 1.2 * (away * away - 1.0) * std::exp(-0.5 * away * away);
    outline.emplace_back(on * (1.0 + ring / on.norm()));
  }
  outline = resample_by_arc_length(outline, 360);
  const Polygon before = outline;
  EXPECT_FALSE(take_off_stem_bump(outline, kStem, kLength));
  EXPECT_EQ(outline, before);
}

TEST(StemBump, NothingElsewhereIsTouched) {
  Polygon outline = fruit(1.5);
  const Polygon before = outline;
  ASSERT_TRUE(take_off_stem_bump(outline, kStem, kLength));
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if ((before[i] - kStem).norm() > 0.085 * kLength) {
      EXPECT_EQ(outline[i], before[i]);
    }
  }
}

TEST(StemBump, TooFewPointsAreLeftAsTheyAre) {
  Polygon outline = resample_by_arc_length(fruit(1.5), 24);
  EXPECT_FALSE(take_off_stem_bump(outline, kStem, kLength));
}

}  // namespace
}  // namespace maturity
