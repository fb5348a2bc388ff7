#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "libmaturity/outline/pixel_outline.h"
#include "libmaturity/outline/refine_edge.h"
#include "libmaturity/outline/split_touching.h"
#include "libmaturity/outline/stem_stub.h"
#include "libmaturity/outline/touching.h"
#include "tests/outline/drawn_fruit.h"

namespace maturity {
namespace {

using made::DrawnFruit;

Polygon blob_of(const std::vector<std::pair<cv::Point, int>>& discs) {
  cv::Mat mask = cv::Mat::zeros(300, 500, CV_8UC1);
  for (const auto& [centre, radius] : discs) {
    cv::circle(mask, centre, radius, cv::Scalar(255), cv::FILLED);
  }
  std::vector<std::vector<cv::Point>> contours;
  cv::findContours(mask, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  EXPECT_EQ(contours.size(), 1U);
  return polygon_of(contours.front());
}

TEST(SplitTouching, TwoDiscsComeApartAtTheirNeck) {
  const auto parts = split_touching(blob_of({{{150, 150}, 60}, {{262, 150}, 60}}), 2000.0);
  ASSERT_EQ(parts.size(), 2U);
  EXPECT_EQ(parts[0].cut, parts[1].cut);
  for (const SplitPart& part : parts) {
    const Point centre = area_centroid(part.outline);
    const double expected = centre.x() < 206.0 ? 150.0 : 262.0;
    EXPECT_NEAR(centre.x(), expected, 2.0);
    EXPECT_NEAR(centre.y(), 150.0, 1.0);
    EXPECT_NEAR(std::abs(signed_area(part.outline)), std::numbers::pi * 3600.0, 500.0);
    // The chord of two discs 112 px apart is 2 sqrt(60^2 - 56^2) = 43 px; the area's root 106 px.
    EXPECT_NEAR(part.neck, 43.1 / 106.3, 0.06);
  }
}

TEST(SplitTouching, ThreeDiscsWithALargerOneBetweenAreCutTwice) {
  const auto parts =
      split_touching(blob_of({{{90, 150}, 45}, {{188, 150}, 57}, {{286, 150}, 45}}), 2000.0);
  int small = 0;
  int large = 0;
  for (const SplitPart& part : parts) {
    const double area = std::abs(signed_area(part.outline)) / std::numbers::pi;
    small += std::abs(area - 45.0 * 45.0) < 150.0 ? 1 : 0;
    large += std::abs(area - 57.0 * 57.0) < 300.0 ? 1 : 0;
  }
  EXPECT_EQ(small, 2);
  EXPECT_EQ(large, 1);
}

// The two hollows of a side lie under one side of the hull.
TEST(SplitTouching, ThreeEqualDiscsInARowAreCutTwice) {
  const auto parts =
      split_touching(blob_of({{{90, 150}, 50}, {{184, 150}, 50}, {{278, 150}, 50}}), 2000.0);
  int single = 0;
  for (const SplitPart& part : parts) {
    single +=
        std::abs(std::abs(signed_area(part.outline)) - std::numbers::pi * 2500.0) < 600.0 ? 1 : 0;
  }
  EXPECT_EQ(single, 3);
}

TEST(SplitTouching, ARoundBlobOrTooSmallAPartStaysWhole) {
  EXPECT_TRUE(split_touching(blob_of({{{150, 150}, 80}}), 2000.0).empty());
  EXPECT_TRUE(split_touching(blob_of({{{150, 150}, 80}, {{244, 150}, 18}}), 2000.0).empty());
  EXPECT_TRUE(split_touching({{0, 0}, {10, 0}, {10, 10}}, 5.0).empty());
}

// An ellipse with a straight stem standing on its end, 500 points at even steps.
Polygon with_stem(double half_width, double length) {
  const DrawnFruit fruit;
  Polygon line;
  bool drawn = false;
  for (const Point& p : fruit.outline()) {
    if (p.x() > 0.0 || std::abs(p.y()) > half_width) {
      line.push_back(p);
    } else if (!drawn) {  // the outline comes from negative y
      line.emplace_back(p.x(), -half_width);
      line.emplace_back(-fruit.a - length, -half_width);
      line.emplace_back(-fruit.a - length, half_width);
      line.emplace_back(p.x(), half_width);
      drawn = true;
    }
  }
  return resample_by_arc_length(line, 500);
}

TEST(FindSpikes, SeesAStemAndBridgingGivesTheEllipseBack) {
  const DrawnFruit fruit;
  Polygon outline = with_stem(4.0, 18.0);
  const auto spikes = find_spikes(outline);
  ASSERT_EQ(spikes.size(), 1U);
  EXPECT_NEAR(spikes[0].reach_px, 18.0, 5.0);
  const Point middle = outline[(spikes[0].first + spikes[0].length / 2) % outline.size()];
  EXPECT_LT((middle - Point(-fruit.a - 18.0, 0.0)).norm(), 8.0);
  EXPECT_GT(made::compare(outline, fruit.outline()).worst, 15.0);
  bridge(outline, spikes[0]);
  EXPECT_EQ(outline.size(), 500U);
  const auto error = made::compare(outline, fruit.outline());
  EXPECT_LT(error.worst, 0.6);
  EXPECT_LT(error.mean, 0.03);
}

TEST(FindSpikes, SeesItInEitherDirectionOfTheOutline) {
  Polygon outline = with_stem(4.0, 18.0);
  std::reverse(outline.begin(), outline.end());
  std::rotate(outline.begin(), outline.begin() + 250, outline.end());
  EXPECT_EQ(find_spikes(outline).size(), 1U);
}

// A stub out of focus: its outline averaged over `window` points to each side.
Polygon soft_stub(double half_width, double length, int window) {
  const Polygon sharp = with_stem(half_width, length);
  const int n = static_cast<int>(sharp.size());
  Polygon soft(sharp.size(), Point::Zero());
  for (int i = 0; i < n; ++i) {
    for (int k = -window; k <= window; ++k) {
      soft[static_cast<std::size_t>(i)] +=
          sharp[static_cast<std::size_t>((i + k + n) % n)] / (2 * window + 1);
    }
  }
  return soft;
}

TEST(FindSpikes, SeesAStubWithASoftEdge) {
  const DrawnFruit fruit;
  Polygon outline = soft_stub(9.0, 10.0, 3);
  const auto spikes = find_spikes(outline);
  ASSERT_EQ(spikes.size(), 1U);
  EXPECT_GT(made::compare(outline, fruit.outline()).worst, 6.0);
  bridge(outline, spikes[0]);
  EXPECT_LT(made::compare(outline, fruit.outline()).worst, 1.5);
}

TEST(FindSpikes, AKnobAsLowAsTheNoiseOfAnEdgeIsNone) {
  EXPECT_TRUE(find_spikes(soft_stub(9.0, 2.5, 3)).empty());
}

TEST(FindSpikes, AnEllipseAndABroadBeakHaveNone) {
  DrawnFruit fruit;
  EXPECT_TRUE(find_spikes(resample_by_arc_length(fruit.outline(), 500)).empty());
  EXPECT_TRUE(find_spikes(with_stem(30.0, 12.0)).empty()) << "as broad as a quarter of the fruit";
}

TEST(Bridge, PassesOverTheEndOfTheList) {
  const DrawnFruit fruit;
  Polygon outline = resample_by_arc_length(fruit.outline(), 400);
  Polygon dented = outline;
  Stub stub;
  stub.first = 395;
  stub.length = 10;
  for (std::size_t k = 0; k < stub.length; ++k) {
    dented[(stub.first + k) % 400] *= 1.1;
  }
  bridge(dented, stub);
  EXPECT_LT(made::compare(dented, fruit.outline()).worst, 0.3);
  for (std::size_t i = 40; i < 360; ++i) {
    EXPECT_EQ(dented[i], outline[i]) << "the rest stays";
  }
}

TEST(Bridge, LeavesAStubThatCoversMostOfTheOutlineAlone) {
  const DrawnFruit fruit;
  Polygon outline = resample_by_arc_length(fruit.outline(), 100);
  const Polygon before = outline;
  bridge(outline, {10, 90, 5.0, 1.0});
  EXPECT_EQ(outline, before);
}

FruitOutline disc_outline(const Point& centre, double radius) {
  FruitOutline fruit;
  for (int i = 0; i < 400; ++i) {
    const double t = -2.0 * std::numbers::pi * i / 400.0;
    fruit.outline_px.emplace_back(centre + radius * Point(std::cos(t), std::sin(t)));
  }
  return fruit;
}

// Two discs; where they overlap each outline runs along the common chord, as it is found.
std::vector<FruitOutline> pressed_discs(double apart) {
  std::vector<FruitOutline> fruit{disc_outline({0, 0}, 100), disc_outline({apart, 0}, 100)};
  for (Point& p : fruit[0].outline_px) {
    p.x() = std::min(p.x(), 0.5 * apart);
  }
  for (Point& p : fruit[1].outline_px) {
    p.x() = std::max(p.x(), 0.5 * apart);
  }
  return fruit;
}

TEST(SettleContacts, AShortContactIsBridgedByTheCurveOfItsSides) {
  auto fruit = pressed_discs(194.0);
  fruit[0].stem_base_px = Point(97, 0);
  fruit[0].stem_probability = 0.7;
  fruit[1].stem_base_px = Point(294, 0);
  fruit[1].stem_probability = 0.7;
  settle_contacts(fruit, 4.0);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_TRUE(fruit[i].has(FruitFlag::touching));
    EXPECT_FALSE(fruit[i].has(FruitFlag::occluded));
    for (const Point& p : fruit[i].outline_px) {
      EXPECT_NEAR((p - Point(194.0 * static_cast<double>(i), 0)).norm(), 100.0, 0.8);
    }
  }
  EXPECT_FALSE(fruit[0].stem_base_px) << "what the neighbour hides is no stem";
  EXPECT_EQ(fruit[0].stem_probability, 0.0);
  EXPECT_TRUE(fruit[1].stem_base_px) << "on the far side";
}

TEST(SettleContacts, ALongContactIsAnOcclusion) {
  auto fruit = pressed_discs(120.0);
  settle_contacts(fruit, 4.0);
  EXPECT_TRUE(fruit[0].has(FruitFlag::occluded));
  EXPECT_TRUE(fruit[1].has(FruitFlag::occluded));
}

TEST(SettleContacts, FruitApartAreLeftAlone) {
  auto fruit = pressed_discs(215.0);
  const auto before = fruit[0].outline_px;
  settle_contacts(fruit, 4.0);
  EXPECT_TRUE(fruit[0].flags.empty());
  EXPECT_EQ(fruit[0].outline_px, before);
}

TEST(RefineEdge, MovesARoughOutlineToTheEdge) {
  DrawnFruit fruit;
  fruit.centre = {170.4, 140.7};
  made::Scene scene;
  scene.width = 340;
  scene.height = 280;
  const Photo photo = made::photo_of_fruit({fruit}, scene);
  for (const double off : {-3.0, 0.0, 3.0}) {
    DrawnFruit rough = fruit;
    rough.a += off;
    rough.b += off;
    rough.centre += Point(1.0, -1.0);
    const RefinedOutline refined = refine_edge(photo, rough.outline(), 8.0);
    EXPECT_LE(made::compare(refined.outline_px, fruit.outline()).mean, 0.2) << off;
    EXPECT_GT(refined.edge_share, 0.95);
    EXPECT_GT(refined.se_px, 0.0);
    EXPECT_LT(refined.se_px, 0.3);
    EXPECT_GT(refined.correlation_px, 1.0);
  }
}

// So large a photo that normals and samples lie farther apart than on a small one.
TEST(RefineEdge, MovesTheOutlineOfALargePhotoToTheEdgeToo) {
  DrawnFruit fruit;
  fruit.a = 330.0;
  fruit.b = 240.0;
  fruit.centre = {510.4, 420.7};
  made::Scene scene;
  scene.width = 1020;
  scene.height = 840;
  const Photo photo = made::photo_of_fruit({fruit}, scene);
  for (const double off : {-9.0, 0.0, 9.0}) {
    DrawnFruit rough = fruit;
    rough.a += off;
    rough.b += off;
    const RefinedOutline refined = refine_edge(photo, rough.outline(), 24.0);
    EXPECT_EQ(refined.outline_px.size(), 400U);
    EXPECT_LE(made::compare(refined.outline_px, fruit.outline()).mean, 0.2) << off;
    EXPECT_NEAR(refined.correlation_px, 5.0 * perimeter(fruit.outline()) / 400.0, 1.0);
  }
}

TEST(RefineEdge, OnABareBoardThereIsNoEdge) {
  made::Scene scene;
  const cv::Mat bare = made::plain_light(340, 280, scene.ground);
  DrawnFruit fruit;
  fruit.centre = {170.0, 140.0};
  scene.noise_codes = 2.0;
  const RefinedOutline refined =
      refine_edge(made::photo_of(made::finish(bare, scene)), fruit.outline(), 8.0);
  EXPECT_LT(refined.edge_share, 0.6);
}

}  // namespace
}  // namespace maturity
