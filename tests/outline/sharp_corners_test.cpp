#include "libmaturity/outline/sharp_corners.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libmaturity/core/polygon.h"

namespace maturity {
namespace {

constexpr std::size_t kPoints = 600;

// Ellipse with semi-axes 130 and 100 whose radius is changed by `change(angle)`, evenly spaced.
template <typename Change>
Polygon ellipse(const Change& change) {
  Polygon outline;
  for (std::size_t i = 0; i < 4 * kPoints; ++i) {
    const double t = 2.0 * std::numbers::pi * static_cast<double>(i) / (4.0 * kPoints);
    outline.emplace_back((1.0 + change(t)) * Point(130.0 * std::cos(t), 100.0 * std::sin(t)));
  }
  return resample_by_arc_length(outline, kPoints);
}

double farthest(const Polygon& outline, const Polygon& from) {
  double most = 0.0;
  for (const Point& p : outline) {
    most = std::max(most, distance_to_outline(from, p));
  }
  return most;
}

double none(double /*angle*/) { return 0.0; }

TEST(SharpCorners, ASmoothOutlineIsLeftAsItIs) {
  Polygon outline = ellipse(none);
  const Polygon before = outline;
  EXPECT_TRUE(mend_sharp_corners(outline));
  EXPECT_EQ(outline, before);
}

// A beak with a hollow beside it: sharp, but as fruit are.
TEST(SharpCorners, ABeakAndAStalkCavityAreLeftAsTheyAre) {
  const auto beak = [](double t) {
    return 0.05 * std::exp(-0.5 * std::pow((t - 0.35) / 0.10, 2)) -
           0.03 * std::exp(-0.5 * std::pow((t - 3.14) / 0.12, 2));
  };
  Polygon outline = ellipse(beak);
  const Polygon before = outline;
  EXPECT_TRUE(mend_sharp_corners(outline));
  EXPECT_EQ(outline, before);
}

TEST(SharpCorners, ADentIsMended) {
  // 8 % of the radius deep and steep-sided, as where the line follows a stain for a little way.
  const auto dent = [](double t) { return std::abs(t - 1.2) < 0.10 ? -0.08 : 0.0; };
  Polygon outline = ellipse(dent);
  const Polygon whole = ellipse(none);
  ASSERT_GT(farthest(outline, whole), 7.0);
  EXPECT_TRUE(mend_sharp_corners(outline));
  EXPECT_LT(farthest(outline, whole), 1.0);
}

TEST(SharpCorners, WhereTheListBeginsDoesNotMatter) {
  const auto dent = [](double t) { return std::abs(t - 1.2) < 0.10 ? -0.08 : 0.0; };
  const Polygon whole = ellipse(none);
  for (const int start : {100, 112, 118, 125, 400}) {
    Polygon outline = ellipse(dent);
    std::rotate(outline.begin(), outline.begin() + start, outline.end());
    EXPECT_TRUE(mend_sharp_corners(outline)) << start;
    EXPECT_LT(farthest(outline, whole), 1.0) << start;
  }
}

TEST(SharpCorners, ALeafThatStandsOutIsReported) {
  const auto tip = [](double t) { return std::max(0.0, 0.16 - 0.6 * std::abs(t - 0.9)); };
  Polygon outline = ellipse(tip);
  EXPECT_FALSE(mend_sharp_corners(outline));
}

TEST(SharpCorners, AWideBiteIsReportedNotInvented) {
  const auto bite = [](double t) { return std::abs(t - 1.2) < 0.5 ? -0.15 : 0.0; };
  Polygon outline = ellipse(bite);
  const Polygon before = outline;
  EXPECT_FALSE(mend_sharp_corners(outline));
  EXPECT_GT(farthest(outline, ellipse(none)), 10.0);
}

}  // namespace
}  // namespace maturity
