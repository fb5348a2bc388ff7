#include "libmaturity/photo/edge_profile.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "libmaturity/photo/linear_light.h"
#include "tests/photo/drawn_photo.h"

namespace maturity {
namespace {

using made::Light;

// A step across columns: light `left` up to the position `edge` (0 is the centre of column 0),
// `right` beyond.
Photo step_photo(double left, double right, double edge, double blur_sd = 0.0) {
  cv::Mat light = made::plain_light(64, 40, Light::all(static_cast<float>(right)));
  for (int x = 0; x < light.cols; ++x) {
    const double share = std::clamp(edge - (x - 0.5), 0.0, 1.0);
    light.col(x).setTo(cv::Scalar::all(right + (left - right) * share));
  }
  made::blur(light, blur_sd);
  return made::photo_of_light(light);
}

double found_at(const Photo& photo, double guess = 30.0) {
  const auto step = find_step(photo, Point(guess, 20.3), Point(1, 0), 8.0);
  EXPECT_TRUE(step);
  return step ? guess + step->offset_px : 0.0;
}

TEST(EdgeProfile, LinearLightFollowsTheSrgbCurve) {
  EXPECT_DOUBLE_EQ(linear_light(0.0), 0.0);
  EXPECT_DOUBLE_EQ(linear_light(255.0), 1.0);
  EXPECT_NEAR(linear_light(10.0), 10.0 / 255.0 / 12.92, 1e-9);
  // IEC 61966-2-1, from memory: code 128 is 0.2158605 of white, 188 is 0.5028865.
  EXPECT_NEAR(linear_light(128.0), 0.2158605, 1e-6);
  EXPECT_NEAR(linear_light(188.0), 0.5028865, 1e-6);
  EXPECT_NEAR(linear_light(120.091136309), 0.3 * linear_light(200.0) + 0.7 * linear_light(40.0),
              2e-6)
      << "codes 200 and 40 mixed at 0.3 in light give 120.0911";
  EXPECT_DOUBLE_EQ(linear_light(-3.0), 0.0);
  EXPECT_DOUBLE_EQ(linear_light(300.0), 1.0);
}

// The gradient centroid of an area-sampled step is the edge itself, and stays it after a symmetric
// blur (the sum over the pixels, by hand; edge 5.3 between 200 and 40 gives a cut pixel of 88).
// What is left over at full contrast is the rounding of light to codes.
void expect_exact(double blur_sd, double tolerance) {
  for (int tenth = 0; tenth < 10; ++tenth) {
    const double edge = 29.5 + 0.1 * tenth;
    EXPECT_NEAR(found_at(step_photo(200 / 255.0, 40 / 255.0, edge, blur_sd)), edge, tolerance);
    EXPECT_NEAR(found_at(step_photo(40 / 255.0, 200 / 255.0, edge, blur_sd)), edge, tolerance);
    EXPECT_NEAR(found_at(step_photo(0.02, 0.85, edge, blur_sd)), edge, tolerance);
  }
}

// Interpolated between pixels in codes instead of light, a sharp edge would be 0.11 px off.
TEST(EdgeProfile, AreaSampledStepIsExactBlurredOrNot) {
  expect_exact(0.0, 0.01);
  expect_exact(0.5, 0.015);
  expect_exact(0.7, 0.02);
  expect_exact(1.0, 0.03);
}

TEST(EdgeProfile, SummingCodesInsteadOfLightWouldMissTheEdge) {
  // Codes 200 and 40 mixed in light at 0.3: a sum over codes puts the edge at 0.5006, not 0.3.
  const double left = linear_light(200.0);
  const double right = linear_light(40.0);
  const double edge = 29.5 + 0.3;
  const Photo photo = step_photo(left, right, edge);
  const double mixed = photo.sample_luma(Point(30, 20));
  EXPECT_NEAR(mixed, 120.091136309, 0.5);
  EXPECT_NEAR((mixed - 40.0) / (200.0 - 40.0), 0.500569602, 0.004);
  EXPECT_LT(std::abs(found_at(photo) - edge), 0.5 * std::abs(29.5 + 0.5006 - edge));
}

TEST(EdgeProfile, ContrastAndSignAreThoseOfTheStep) {
  const auto falling = find_step(step_photo(0.8, 0.2, 30.1), Point(30, 20), Point(1, 0), 8.0);
  const auto rising = find_step(step_photo(0.8, 0.2, 30.1), Point(30, 20), Point(-1, 0), 8.0);
  ASSERT_TRUE(falling && rising);
  EXPECT_NEAR(falling->contrast, -0.6, 0.01);
  EXPECT_NEAR(rising->contrast, 0.6, 0.01);
  EXPECT_NEAR(falling->offset_px, -rising->offset_px, 1e-9);
}

TEST(EdgeProfile, WidthFollowsTheBlur) {
  // 10 to 90 % of a Gaussian step: 2.563 standard deviations; pixel and reading add variance of
  // 1/12 px^2 each at least.
  for (const double sd : {0.7, 1.0, 1.3}) {
    const auto step = find_step(step_photo(0.1, 0.8, 30.2, sd), Point(30, 20), Point(1, 0), 8.0);
    ASSERT_TRUE(step);
    const double least = 2.563 * sd;
    const double most = 2.563 * std::sqrt(sd * sd + 3.0 / 12.0);
    EXPECT_GT(step->width_px, 0.93 * least) << sd;
    EXPECT_LT(step->width_px, 1.02 * most) << sd;
  }
}

TEST(EdgeProfile, ASlantedEdgeIsFoundAlongItsNormal) {
  const Point normal = Point(std::cos(0.35), std::sin(0.35));
  const Point on_edge(31.37, 20.61);
  cv::Mat light = made::plain_light(64, 40, Light::all(0.75F));
  made::paint(
      light, [&](const Point& p) { return normal.dot(p - on_edge) < 0.0; }, Light::all(0.15F));
  made::blur(light, 0.8);
  const Photo photo = made::photo_of_light(light);
  for (const double along : {-6.0, -2.5, 0.0, 3.3}) {
    const Point middle = on_edge + along * Point(-normal.y(), normal.x()) + 0.8 * normal;
    const auto step = find_step(photo, middle, normal, 6.0);
    ASSERT_TRUE(step);
    EXPECT_NEAR(step->offset_px, -0.8, 0.05) << along;
  }
}

TEST(EdgeProfile, AFlatOrFaintLineHasNoStep) {
  EXPECT_FALSE(find_step(step_photo(0.4, 0.4, 30.0), Point(30, 20), Point(1, 0), 8.0));
  EXPECT_FALSE(find_step(step_photo(0.400, 0.412, 30.0), Point(30, 20), Point(1, 0), 8.0));
  EXPECT_TRUE(find_step(step_photo(0.40, 0.45, 30.0), Point(30, 20), Point(1, 0), 8.0));
}

}  // namespace
}  // namespace maturity
