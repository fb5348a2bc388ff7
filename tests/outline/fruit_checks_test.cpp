#include "libmaturity/outline/fruit_checks.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libmaturity/outline/oblique_view.h"
#include "tests/outline/drawn_fruit.h"

namespace maturity {
namespace {

using made::DrawnFruit;

Polygon rectangle(double width, double height) {
  return {{0, 0}, {width, 0}, {width, height}, {0, height}};
}

Polygon ellipse(double a, double b, double turn = 0.0) {
  DrawnFruit fruit;
  fruit.centre = {400, 300};
  fruit.a = a;
  fruit.b = b;
  fruit.turn_rad = turn;
  return resample_by_arc_length(fruit.outline(), 600);
}

TEST(FormOf, AnEllipseIsOne) {
  for (const double turn : {0.0, 0.7, 2.0}) {
    const OutlineForm form = form_of(ellipse(120, 80, turn));
    EXPECT_NEAR(form.ellipticity, 1.0, 1e-4);
    EXPECT_NEAR(form.elongation, 1.5, 1e-4);
    EXPECT_NEAR(form.solidity, 1.0, 1e-6);
  }
}

TEST(FormOf, ClosedFormsOfPolygons) {
  // Rectangle: second moments w^2/12 and h^2/12, so A / (4 pi w h / 12) = 3/pi, at any aspect.
  for (const double height : {1.0, 40.0, 300.0}) {
    const OutlineForm form = form_of(rectangle(100, height));
    EXPECT_NEAR(form.ellipticity, 3.0 / std::numbers::pi, 1e-12);
    EXPECT_NEAR(form.elongation, std::max(100.0 / height, height / 100.0), 1e-9);
    EXPECT_NEAR(form.solidity, 1.0, 1e-12);
  }
  // Equilateral triangle of side s: area sqrt(3)/4 s^2, both second moments s^2/24.
  const OutlineForm triangle = form_of({{0, 0}, {2, 0}, {1, std::sqrt(3.0)}});
  EXPECT_NEAR(triangle.ellipticity, 1.5 * std::sqrt(3.0) / std::numbers::pi, 1e-12);
  EXPECT_NEAR(triangle.elongation, 1.0, 1e-6);
  // Seven-sided polygon with a hollow, area 75, hull 79.5, eigenvalues of the second moments
  // 11.4445706031 and 3.30067384131 (COMPUTED x2: rationals; exact integration in slabs).
  const OutlineForm hollow = form_of({{1, 4}, {4, 2}, {13, 1}, {13, 6}, {5, 10}, {6, 8}, {1, 9}});
  EXPECT_NEAR(hollow.solidity, 50.0 / 53.0, 1e-12);
  EXPECT_NEAR(hollow.elongation, std::sqrt(11.4445706031 / 3.30067384131), 1e-9);
  EXPECT_NEAR(hollow.ellipticity,
              75.0 / (4.0 * std::numbers::pi * std::sqrt(11.4445706031 * 3.30067384131)), 1e-9);
}

TEST(FormOf, DoesNotCareForScalePlaceOrDirection) {
  Polygon moved;
  const Polygon outline{{1, 4}, {4, 2}, {13, 1}, {13, 6}, {5, 10}, {6, 8}, {1, 9}};
  for (const Point& p : outline) {
    moved.emplace_back(3000.0 - 7.0 * p.y(), -200.0 + 7.0 * p.x());
  }
  std::reverse(moved.begin(), moved.end());
  const OutlineForm one = form_of(outline);
  const OutlineForm other = form_of(moved);
  EXPECT_NEAR(one.ellipticity, other.ellipticity, 1e-9);
  EXPECT_NEAR(one.elongation, other.elongation, 1e-9);
  EXPECT_NEAR(one.solidity, other.solidity, 1e-12);
}

FruitOutline mango() {
  FruitOutline fruit;
  fruit.outline_px = ellipse(120, 88);
  fruit.edge_share = 0.97;
  fruit.yellow = 1.1;
  fruit.green = 0.2;
  return fruit;
}

CheckContext context() { return {1000, 800, 0.0, 0.9}; }

TEST(PlainlyNoMango, AMangoIsOne) {
  EXPECT_FALSE(plainly_no_mango(mango(), context()));
  FruitOutline blushed = mango();
  blushed.green = -0.9;
  EXPECT_FALSE(plainly_no_mango(blushed, context()));
}

TEST(PlainlyNoMango, OtherThingsAreNone) {
  FruitOutline tag = mango();
  tag.outline_px = resample_by_arc_length(rectangle(200, 120), 600);
  EXPECT_TRUE(plainly_no_mango(tag, context())) << "four corners";
  FruitOutline leaf = mango();
  leaf.outline_px = ellipse(150, 55);
  EXPECT_TRUE(plainly_no_mango(leaf, context())) << "long";
  FruitOutline paper = mango();
  paper.yellow = 0.1;
  EXPECT_TRUE(plainly_no_mango(paper, context())) << "no skin colour";
  FruitOutline shadow = mango();
  shadow.edge_share = 0.4;
  EXPECT_TRUE(plainly_no_mango(shadow, context())) << "no edge";
  FruitOutline apple = mango();
  apple.outline_px = ellipse(100, 95);
  apple.green = -1.6;
  EXPECT_TRUE(plainly_no_mango(apple, context())) << "round and red";
  FruitOutline orange = mango();
  orange.outline_px = ellipse(100, 97);
  orange.yellow = 2.6;
  orange.green = -0.9;
  EXPECT_TRUE(plainly_no_mango(orange, context())) << "round and orange";
  FruitOutline lemon = mango();
  lemon.yellow = 2.4;
  lemon.green = -0.1;
  EXPECT_TRUE(plainly_no_mango(lemon, context())) << "lemon yellow";
}

TEST(PlainlyNoMango, WhatIsNarrowerThanAnyMangoIsNone) {
  FruitOutline narrow = mango();
  narrow.outline_px = ellipse(60, 33);
  FruitOutline small = mango();
  small.outline_px = ellipse(60, 42);
  CheckContext scaled = context();
  EXPECT_FALSE(plainly_no_mango(narrow, scaled)) << "without a scale nobody knows";
  scaled.mm_per_px = 0.5;
  EXPECT_TRUE(plainly_no_mango(narrow, scaled));
  EXPECT_FALSE(plainly_no_mango(small, scaled));
}

TEST(PlainlyNoMango, YellowLightIsTakenOff) {
  FruitOutline paper = mango();
  paper.yellow = 0.6;
  CheckContext warm = context();
  EXPECT_FALSE(plainly_no_mango(paper, warm));
  warm.white_yellow = 0.45;
  EXPECT_TRUE(plainly_no_mango(paper, warm));
}

TEST(PlainlyNoMango, ACutFruitIsNotJudgedByItsForm) {
  FruitOutline cut = mango();
  cut.outline_px = resample_by_arc_length(rectangle(200, 60), 600);
  cut.flags = {FruitFlag::cut_by_frame};
  cut.edge_share = 0.55;
  EXPECT_FALSE(plainly_no_mango(cut, context()));
  cut.yellow = 0.0;
  EXPECT_TRUE(plainly_no_mango(cut, context()));
}

TEST(FlagDoubts, AWholeClearFruitGetsNone) {
  FruitOutline fruit = mango();
  flag_doubts(fruit, context());
  EXPECT_TRUE(fruit.flags.empty());
}

TEST(FlagDoubts, EachDoubtHasItsFlag) {
  FruitOutline cut = mango();
  for (Point& p : cut.outline_px) {
    p.x() = std::max(0.5, p.x() - 300.0);
  }
  flag_doubts(cut, context());
  EXPECT_EQ(cut.flags, std::vector<FruitFlag>{FruitFlag::cut_by_frame});
  FruitOutline faint = mango();
  faint.edge_share = 0.7;
  flag_doubts(faint, context());
  EXPECT_EQ(faint.flags, std::vector<FruitFlag>{FruitFlag::low_contrast});
  FruitOutline ball = mango();
  ball.outline_px = ellipse(100, 99);
  flag_doubts(ball, context());
  EXPECT_EQ(ball.flags, std::vector<FruitFlag>{FruitFlag::not_fruit_like});
  FruitOutline bitten = mango();
  for (Point& p : bitten.outline_px) {
    const Point off = p - Point(430, 212);
    if (off.norm() < 45.0) {
      p = Point(430, 212) + 45.0 * Point(off.x(), std::abs(off.y()) + 8.0).normalized();
    }
  }
  flag_doubts(bitten, context());
  EXPECT_TRUE(bitten.has(FruitFlag::occluded));
  FruitOutline plum = mango();
  CheckContext small = context();
  small.mm_per_px = 0.15;  // 36 mm long
  flag_doubts(plum, small);
  EXPECT_EQ(plum.flags, std::vector<FruitFlag>{FruitFlag::not_fruit_like});
}

TEST(LeafAtEdge, GreenMatterAlongASideIsSeen) {
  DrawnFruit fruit;
  fruit.centre = {300.0, 220.0};
  made::Scene scene;
  scene.width = 600;
  scene.height = 440;
  const Polygon outline = resample_by_arc_length(fruit.outline(), 500);
  const auto leaf_seen = [&](const Point& centre, const std::vector<Polygon>& neighbours) {
    cv::Mat light = made::plain_light(scene.width, scene.height, scene.ground);
    made::paint(
        light, [&](const Point& p) { return (p - centre).norm() < 60.0; },
        made::Light(0.06F, 0.16F, 0.015F));
    made::paint(
        light, [&](const Point& p) { return fruit.holds(p); }, fruit.skin);
    return leaf_at_edge(made::photo_of(made::finish(light, scene)), outline, neighbours,
                        {6.0, 0.0});
  };
  EXPECT_TRUE(leaf_seen({430.0, 130.0}, {}));
  EXPECT_FALSE(leaf_seen({540.0, 60.0}, {})) << "not at the fruit";
  DrawnFruit other;
  other.centre = {430.0, 130.0};
  other.a = other.b = 60.0;
  EXPECT_FALSE(leaf_seen({430.0, 130.0}, {resample_by_arc_length(other.outline(), 300)}))
      << "another fruit";
}

TEST(ObliqueView, LightFromAboveLeavesTheLowerSideDark) {
  DrawnFruit fruit;
  fruit.centre = {300.0, 220.0};
  made::Scene scene;
  scene.width = 600;
  scene.height = 440;
  const Polygon outline = resample_by_arc_length(fruit.outline(), 500);
  const auto judged = [&](double darker_fruit, double darker_ground) {
    cv::Mat light = made::plain_light(scene.width, scene.height, scene.ground);
    light(cv::Rect(0, 220, 600, 220)) *= darker_ground;
    made::paint(
        light, [&](const Point& p) { return fruit.holds(p); }, fruit.skin,
        [&](const Point& p) { return p.y() > 220.0 ? darker_fruit : 1.0; });
    return may_be_seen_from_the_side(made::photo_of(made::finish(light, scene)), outline, 6.0);
  };
  EXPECT_TRUE(judged(0.35, 0.25));
  EXPECT_FALSE(judged(1.0, 1.0));
  EXPECT_FALSE(judged(0.35, 1.0)) << "a shaded fruit on an even board";
  EXPECT_FALSE(judged(1.0, 0.25)) << "an even fruit across the edge of a board";
}

}  // namespace
}  // namespace maturity
