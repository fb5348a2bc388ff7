#include "libmaturity/outline/rim_gloss.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "libmaturity/outline/refine_edge.h"
#include "tests/outline/drawn_fruit.h"

namespace maturity {
namespace {

using made::DrawnFruit;
using made::Light;

const Light kBoard(0.20F, 0.13F, 0.075F);  // planed timber
constexpr double kDeep = 6.0;              // px

DrawnFruit body() {
  DrawnFruit fruit;
  fruit.centre = {300.0, 200.0};
  return fruit;
}

// How far the dent reaches into the fruit at x: 6 px, 70 px wide, at the upper flank.
double dent(double x) {
  const double t = (x - 300.0) / 35.0;
  return std::abs(t) < 1.0 ? kDeep * (1.0 - t * t) * (1.0 - t * t) : 0.0;
}

bool in_dented(const DrawnFruit& fruit, const Point& p) {
  return fruit.holds(p) && (p.y() > fruit.centre.y() || fruit.holds(p - Point(0.0, dent(p.x()))));
}

Polygon dented_outline(const DrawnFruit& fruit) {
  Polygon outline = fruit.outline();
  for (Point& p : outline) {
    if (p.y() < fruit.centre.y()) {
      p.y() += dent(p.x());
    }
  }
  return resample_by_arc_length(outline, 300);
}

// The fruit with another light where the dent is: a glossy rim, or what lies in a true hollow.
Photo with_dent(const DrawnFruit& fruit, const Light& in_dent, const Light& board = kBoard) {
  cv::Mat light = made::plain_light(600, 400, board);
  made::paint(
      light, [&](const Point& p) { return fruit.holds(p); }, in_dent);
  made::paint(
      light, [&](const Point& p) { return in_dented(fruit, p); }, fruit.skin);
  made::blur(light, 0.8);
  return made::photo_of_light(light, 1.5);
}

Light skin_and(const DrawnFruit& fruit, const Light& mirrored) { return fruit.skin + mirrored; }

TEST(RimGloss, SkinThatMirrorsWhitePaperIsSkin) {
  const DrawnFruit fruit = body();
  const Photo photo = with_dent(fruit, skin_and(fruit, Light(0.05F, 0.05F, 0.05F)));
  const Polygon outline = dented_outline(fruit);
  const std::vector<Stub> gloss = find_rim_gloss(photo, outline);
  ASSERT_EQ(gloss.size(), 1U);
  const Point& middle = outline[(gloss[0].first + gloss[0].length / 2) % outline.size()];
  EXPECT_NEAR(middle.x(), 300.0, 8.0);
  EXPECT_LT(middle.y(), 200.0);
}

TEST(RimGloss, TheBoardInAHollowIsNone) {
  const DrawnFruit fruit = body();
  EXPECT_TRUE(find_rim_gloss(with_dent(fruit, kBoard), dented_outline(fruit)).empty());
}

TEST(RimGloss, AShadowInAHollowIsNone) {
  const DrawnFruit fruit = body();
  EXPECT_TRUE(
      find_rim_gloss(with_dent(fruit, Light(0.06F, 0.05F, 0.04F)), dented_outline(fruit)).empty());
}

// Lighter than skin and board, but not by as much in blue: a straw, a yellow leaf.
TEST(RimGloss, SomethingYellowInAHollowIsNone) {
  const DrawnFruit fruit = body();
  EXPECT_TRUE(find_rim_gloss(with_dent(fruit, skin_and(fruit, Light(0.12F, 0.10F, 0.002F))),
                             dented_outline(fruit))
                  .empty());
}

// Lighter than skin and board in all colours, but by far more than a mirror on skin: the paper.
TEST(RimGloss, WhitePaperInAHollowIsNoneAndTheHollowStays) {
  const DrawnFruit fruit = body();
  const Polygon outline = dented_outline(fruit);
  for (const Light& paper : {Light::all(0.45F), Light(0.35F, 0.35F, 0.29F)}) {
    const Photo photo = with_dent(fruit, paper);
    EXPECT_TRUE(find_rim_gloss(photo, outline).empty());
    EXPECT_LT(made::compare(refine_edge(photo, outline, 8.0).outline_px, outline).worst, 1.5);
  }
}

TEST(RimGloss, AnOutlineWithoutDentsHasNone) {
  const DrawnFruit fruit = body();
  const Photo photo = with_dent(fruit, skin_and(fruit, Light(0.05F, 0.05F, 0.05F)));
  EXPECT_TRUE(find_rim_gloss(photo, resample_by_arc_length(fruit.outline(), 300)).empty());
}

// The edge of the skin is found again below the mirror image, though the search begins in the dent.
TEST(RimGloss, TheEdgeBelowItIsFollowed) {
  const DrawnFruit fruit = body();
  const Photo photo = with_dent(fruit, skin_and(fruit, Light(0.05F, 0.05F, 0.05F)));
  const RefinedOutline refined = refine_edge(photo, dented_outline(fruit), 8.0);
  EXPECT_LT(made::compare(refined.outline_px, fruit.outline()).worst, 1.5);
}

TEST(RimGloss, ATrueHollowStays) {
  const DrawnFruit fruit = body();
  for (const Light& inside : {kBoard, Light(0.06F, 0.05F, 0.04F)}) {
    const Polygon outline = dented_outline(fruit);
    const RefinedOutline refined = refine_edge(with_dent(fruit, inside), outline, 8.0);
    EXPECT_LT(made::compare(refined.outline_px, outline).worst, 1.5);
  }
}

// Lighter than skin and board by so little that no edge is seen: the board, whose light varies.
TEST(RimGloss, AHollowOnABoardWhoseLightVariesStays) {
  const DrawnFruit fruit = body();
  const Polygon outline = dented_outline(fruit);
  const Photo photo =
      with_dent(fruit, Light(0.270F, 0.330F, 0.094F), Light(0.260F, 0.320F, 0.090F));
  ASSERT_FALSE(find_rim_gloss(photo, outline).empty());
  const RefinedOutline refined = refine_edge(photo, outline, 8.0);
  EXPECT_LT(made::compare(refined.outline_px, outline).worst, 1.5);
}

}  // namespace
}  // namespace maturity
