#include "libmaturity/outline/edge_steps.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <opencv2/imgproc.hpp>

#include "libmaturity/outline/pixel_outline.h"

namespace maturity {
namespace {

constexpr int kSide = 120;

using Shape = std::function<bool(double x, double y)>;

bool in_fruit(double x, double y) { return std::hypot(x - 60.0, y - 60.0) < 30.0; }
bool in_shadow(double x, double y) { return std::hypot(x - 68.0, y - 66.0) < 30.0; }
bool in_sun(double x, double y) { return std::hypot(x - 54.0, y - 56.0) < 24.0; }
bool in_fruit_or_shadow(double x, double y) { return in_fruit(x, y) || in_shadow(x, y); }
bool in_sunlit_part(double x, double y) { return in_fruit(x, y) && in_sun(x, y); }

Polygon contour_of(const Shape& shape) {
  cv::Mat mask(kSide, kSide, CV_8UC1, cv::Scalar(0));
  for (int y = 0; y < kSide; ++y) {
    for (int x = 0; x < kSide; ++x) {
      mask.at<std::uint8_t>(y, x) = shape(x, y) ? 255 : 0;
    }
  }
  std::vector<std::vector<cv::Point>> contours;
  cv::findContours(mask, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  return polygon_of(contours.at(0));
}

// Yellow 0.3 on the board, -0.1 in the shadow, on the fruit 1.5 (sun) and 1.1 (shade).
ColourField scene() {
  ColourField field;
  field.width = field.height = kSide;
  const auto count = static_cast<std::size_t>(kSide) * kSide;
  field.yellow.resize(count);
  field.green.assign(count, 0.0F);
  field.light.resize(count);
  for (int y = 0; y < kSide; ++y) {
    for (int x = 0; x < kSide; ++x) {
      const std::size_t i = field.index(x, y);
      const bool fruit = in_fruit(x, y);
      const bool shade = !fruit && in_shadow(x, y);
      field.yellow[i] = fruit ? (in_sun(x, y) ? 1.5F : 1.1F) : (shade ? -0.1F : 0.3F);
      field.light[i] = shade ? -2.5F : (fruit && !in_sun(x, y) ? -2.0F : -0.5F);
    }
  }
  return field;
}

TEST(EdgeSteps, WhatAShadowAddsIsToldFromWhatSkinAdds) {
  const ColourField field = scene();
  const auto fruit = contour_of(in_fruit);
  EXPECT_TRUE(only_shadow_between(fruit, contour_of(in_fruit_or_shadow), field));
  EXPECT_FALSE(only_shadow_between(contour_of(in_sunlit_part), fruit, field));
}

TEST(EdgeSteps, OutlinesThatHardlyDifferTellNothing) {
  const auto fruit = contour_of(in_fruit);
  EXPECT_FALSE(only_shadow_between(fruit, fruit, scene()));
}

TEST(EdgeSteps, TheStepIntoSkinIsItsYellow) {
  const auto steps = edge_steps(contour_of(in_sunlit_part), scene());
  ASSERT_GT(steps.size(), 50U);
  // Against the board 1.2 and against shaded skin 0.4, with 0.35 of the fall of light on top.
  EXPECT_NEAR(low_step(steps, 0.9), 1.2, 0.15);
  EXPECT_NEAR(low_step(steps, 0.1), 0.4 + 0.35 * 1.5, 0.15);
}

TEST(EdgeSteps, AtThePhotosEdgeThereIsNone) {
  const auto corner = contour_of([](double x, double y) { return x < 40.0 && y < 40.0; });
  for (const EdgeStep& step : edge_steps(corner, scene())) {
    EXPECT_GT(step.at.x(), 2);
    EXPECT_GT(step.at.y(), 2);
  }
}

}  // namespace
}  // namespace maturity
