#include "libmaturity/outline/stem_stub.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "tests/outline/drawn_fruit.h"

namespace maturity {
namespace {

using made::DrawnFruit;
using made::Light;

constexpr double kUnitPx = 8.0;

DrawnFruit lying_fruit(double stem_px) {
  DrawnFruit fruit;
  fruit.centre = {300.0, 200.0};
  fruit.stem_px = stem_px;
  return fruit;
}

// A shadow begins a little below the stem.
Photo beside_a_shadow(const DrawnFruit& fruit, const Light& stem) {
  constexpr double kHalfStem = 2.6;
  constexpr double kApart = 7.0;
  cv::Mat light = made::plain_light(600, 400, Light::all(0.4F));
  made::paint(
      light, [&](const Point& p) { return p.y() > fruit.centre.y() + kHalfStem + kApart; },
      Light(0.06F, 0.08F, 0.12F));
  made::paint(
      light, [&](const Point& p) { return fruit.stem_holds(p); }, stem);
  made::paint(
      light, [&](const Point& p) { return fruit.holds(p); }, fruit.skin);
  made::blur(light, 0.8);
  return made::photo_of_light(light, 1.5);
}

// Points of the true outline that stubs cover.
std::vector<Point> covered_by_stubs(const Photo& photo, const DrawnFruit& fruit) {
  const Polygon outline = resample_by_arc_length(fruit.outline(), 300);
  Polygon outward;
  for (const Point& p : outline) {
    const Point d = p - fruit.centre;
    outward.emplace_back(
        Point(d.x() / (fruit.a * fruit.a), d.y() / (fruit.b * fruit.b)).normalized());
  }
  std::vector<Point> covered;
  for (const Stub& stub : find_stubs(photo, outline, outward, kUnitPx)) {
    for (std::size_t k = 0; k < stub.length; ++k) {
      covered.push_back(outline[(stub.first + k) % outline.size()]);
    }
  }
  return covered;
}

TEST(FindStubs, SeesAStemWhereAShadowBeginsBesideIt) {
  const DrawnFruit fruit = lying_fruit(60.0);
  const std::vector<Point> covered =
      covered_by_stubs(beside_a_shadow(fruit, Light(0.13F, 0.13F, 0.03F)), fruit);
  ASSERT_FALSE(covered.empty());
  const Point base = fruit.centre - Point(fruit.a, 0.0);
  for (const Point& p : covered) {
    EXPECT_LT((p - base).norm(), 12.0);
  }
}

TEST(FindStubs, TakesTheEdgeOfAShadowForNoStem) {
  const DrawnFruit fruit = lying_fruit(0.0);
  EXPECT_TRUE(covered_by_stubs(beside_a_shadow(fruit, Light::all(0.4F)), fruit).empty());
}

// Darker than both, and no yellower: the seam between two planks where a shadow begins.
TEST(FindStubs, TakesADarkLineBesideAShadowForNoStem) {
  const DrawnFruit fruit = lying_fruit(60.0);
  EXPECT_TRUE(
      covered_by_stubs(beside_a_shadow(fruit, Light(0.02F, 0.025F, 0.035F)), fruit).empty());
}

// An outline that goes round a foot of 3 px, and the photo of what it goes round.
struct Foot {
  Light colour{0.05F, 0.04F, 0.02F};
  double painted_px = 3.0;   // how far the foot stands out
  double followed_px = 2.5;  // how far the outline does
};

std::vector<Stub> feet_of(const Foot& foot) {
  constexpr double kHalfWidth = 7.0;
  const DrawnFruit fruit = lying_fruit(0.0);
  const Point base = fruit.centre - Point(fruit.a, 0.0);
  cv::Mat light = made::plain_light(600, 400, Light::all(0.4F));
  made::paint(
      light, [&](const Point& p) { return fruit.holds(p); }, fruit.skin);
  made::paint(
      light,
      [&](const Point& p) {
        return std::abs(p.y() - base.y()) < kHalfWidth && p.x() > base.x() - foot.painted_px &&
               p.x() < base.x() + 1.0;
      },
      foot.colour);
  made::blur(light, 0.8);
  const Photo photo = made::photo_of_light(light, 1.5);
  Polygon outline = resample_by_arc_length(fruit.outline(), 300);
  Polygon outward;
  for (Point& p : outline) {
    const double aside = std::abs(p.y() - base.y());
    if (p.x() < fruit.centre.x() && aside < kHalfWidth + 3.0) {
      p.x() -= foot.followed_px * std::min(1.0, (kHalfWidth + 3.0 - aside) / 3.0);
    }
    const Point d = p - fruit.centre;
    outward.emplace_back(
        Point(d.x() / (fruit.a * fruit.a), d.y() / (fruit.b * fruit.b)).normalized());
  }
  std::vector<Stub> feet = find_stem_feet(photo, outline, outward, kUnitPx);
  for (const Stub& found : feet) {
    const Point& middle = outline[(found.first + found.length / 2) % outline.size()];
    EXPECT_LT((middle - base).norm(), 5.0);
  }
  return feet;
}

TEST(FindStemFeet, SeesAFootThatTheOutlineWentRound) { EXPECT_EQ(feet_of({}).size(), 1U); }

// A beak, a bulge: skin as everywhere.
TEST(FindStemFeet, TakesSkinThatStandsOutForNone) {
  Foot skin;
  skin.colour = lying_fruit(0.0).skin;
  EXPECT_TRUE(feet_of(skin).empty());
}

// A blemish on the rim, and nothing stands out.
TEST(FindStemFeet, TakesADarkPlaceOfASmoothRimForNone) {
  Foot flat;
  flat.painted_px = -0.0;
  flat.followed_px = 0.0;
  flat.colour = Light(0.02F, 0.02F, 0.01F);
  EXPECT_TRUE(feet_of(flat).empty());
}

// A leaf crosses the outline: the points nearest to its rib are its own, and a curve drawn from
// them alone would stand far out.
TEST(Bridge, TakesNoCurveFromALeafBesideIt) {
  const DrawnFruit fruit = lying_fruit(0.0);
  const Polygon before = resample_by_arc_length(fruit.outline(), 300);
  constexpr std::size_t kFirst = 100;
  constexpr std::size_t kLength = 13;
  constexpr int kReach = 10;  // of the leaf, points on either side of its rib
  Polygon after = before;
  for (int k = -kReach; k < static_cast<int>(kLength) + kReach; ++k) {
    const int beside = k < 0 ? -k : std::max(0, k - static_cast<int>(kLength) + 1);
    const double out = 3.0 * (kReach - beside);
    Point& p = after[kFirst + static_cast<std::size_t>(k + kReach) - kReach];
    p += out * (p - fruit.centre).normalized();
  }
  bridge(after, {kFirst, kLength, 0.0, 1.0});
  for (std::size_t k = 0; k < kLength; ++k) {
    EXPECT_LT(distance_to_outline(before, after[kFirst + k]), 15.0) << k;
  }
}

// The hollow beside a stem is what is left to tell how deep it is.
TEST(Bridge, ChangesNothingBesideTheStem) {
  const DrawnFruit fruit = lying_fruit(0.0);
  const Polygon before = resample_by_arc_length(fruit.outline(), 300);
  for (const std::size_t length : {4U, 8U, 13U}) {
    Polygon after = before;
    for (std::size_t k = 0; k < length; ++k) {
      after[100 + k] += Point(0.0, 9.0);
    }
    bridge(after, {100, length, 0.0, 1.0});
    for (std::size_t i = 0; i < before.size(); ++i) {
      const bool beside = i + 3 < 100 || i >= 100 + length + 3;
      const double off =
          beside ? (after[i] - before[i]).norm() : distance_to_outline(before, after[i]);
      EXPECT_LT(off, beside ? 1e-12 : 0.5) << length << ", " << i;
    }
  }
}

}  // namespace
}  // namespace maturity
