#include "libmaturity/photo/colour_field.h"

#include <gtest/gtest.h>

#include <cmath>

#include "libmaturity/photo/linear_light.h"
#include "tests/photo/drawn_photo.h"
#include "tests/photo/photo_files.h"

namespace maturity {
namespace {

constexpr double kFloor = 0.004;  // light told apart from black, part of the definition

double log_light(double code) { return std::log(linear_light(code) + kFloor); }

cv::Mat flat(int width, int height, const cv::Vec3b& bgr) {
  return {height, width, CV_8UC3, cv::Scalar(bgr[0], bgr[1], bgr[2])};
}

TEST(ColourField, SizeIsTheSmallestWholeShrink) {
  struct Case {
    int width, height, longest, field_width, field_height, factor;
  };
  for (const Case& c : {Case{800, 600, 800, 800, 600, 1}, Case{801, 600, 800, 400, 300, 2},
                        Case{1600, 1200, 800, 800, 600, 2}, Case{1000, 1500, 800, 500, 750, 2},
                        Case{64, 48, 800, 64, 48, 1}, Case{2000, 33, 100, 100, 1, 20}}) {
    const ColourField field =
        colour_field(made::photo_of(flat(c.width, c.height, {40, 120, 90})), c.longest);
    EXPECT_EQ(field.width, c.field_width);
    EXPECT_EQ(field.height, c.field_height);
    EXPECT_DOUBLE_EQ(field.step_x, c.factor);
    EXPECT_DOUBLE_EQ(field.step_y, c.factor);
    const auto count =
        static_cast<std::size_t>(c.field_width) * static_cast<std::size_t>(c.field_height);
    EXPECT_EQ(field.yellow.size(), count);
    EXPECT_EQ(field.green.size(), count);
    EXPECT_EQ(field.light.size(), count);
  }
}

TEST(ColourField, FlatColoursHaveTheirLogRatios) {
  // Rounding to 8-bit YCbCr costs a code or so in each colour.
  for (const cv::Vec3b& bgr : {cv::Vec3b{60, 150, 110}, cv::Vec3b{200, 200, 200},
                               cv::Vec3b{40, 60, 170}, cv::Vec3b{180, 120, 90}}) {
    const ColourField field = colour_field(made::photo_of(flat(96, 64, bgr)), 48);
    const double b = log_light(bgr[0]);
    const double g = log_light(bgr[1]);
    const double r = log_light(bgr[2]);
    for (const std::size_t i : {field.index(0, 0), field.index(24, 16), field.index(47, 31)}) {
      EXPECT_NEAR(field.yellow[i], 0.5 * (r + g) - b, 0.06) << cv::Mat(bgr).t();
      EXPECT_NEAR(field.green[i], g - r, 0.06) << cv::Mat(bgr).t();
      const double luma = 0.299 * bgr[2] + 0.587 * bgr[1] + 0.114 * bgr[0];  // ITU-R BT.601
      EXPECT_NEAR(field.light[i], log_light(luma), 0.03) << cv::Mat(bgr).t();
    }
  }
}

TEST(ColourField, GreyHasNoColourAndAShadowMovesLightAlone) {
  cv::Mat light = made::plain_light(80, 60, {0.30F, 0.42F, 0.12F});
  light(cv::Rect(40, 0, 40, 60)) *= 0.4;
  const ColourField field = colour_field(made::photo_of_light(light), 80);
  const std::size_t lit = field.index(10, 30);
  const std::size_t shaded = field.index(70, 30);
  EXPECT_NEAR(field.yellow[lit], field.yellow[shaded], 0.08);
  EXPECT_NEAR(field.green[lit], field.green[shaded], 0.08);
  EXPECT_NEAR(field.light[lit] - field.light[shaded], -std::log(0.4), 0.05);
  const ColourField grey = colour_field(made::photo_of(flat(64, 48, {90, 90, 90})), 64);
  EXPECT_NEAR(grey.yellow[0], 0.0F, 1e-5F);
  EXPECT_NEAR(grey.green[0], 0.0F, 1e-5F);
}

TEST(ColourField, AreaMeansKeepTheCentreOfAPatch) {
  cv::Mat picture = flat(240, 180, {180, 180, 180});
  picture(cv::Rect(90, 45, 60, 36)).setTo(cv::Scalar(30, 130, 110));  // columns 90 to 149
  const ColourField field = colour_field(made::photo_of(picture), 80);
  Point sum = Point::Zero();
  double count = 0.0;
  for (int y = 0; y < field.height; ++y) {
    for (int x = 0; x < field.width; ++x) {
      if (field.yellow[field.index(x, y)] > 0.5F) {
        sum += Point(x, y);
        count += 1.0;
      }
    }
  }
  const Point centre = field.photo_from_field(sum / count);
  EXPECT_NEAR(centre.x(), 119.5, 0.01);
  EXPECT_NEAR(centre.y(), 62.5, 0.01);
  EXPECT_NEAR((field.field_from_photo(centre) - sum / count).norm(), 0.0, 1e-12);
}

TEST(ColourField, IsUprightForEveryOrientation) {
  const cv::Mat upright = made::lopsided_picture(120, 88);
  const ColourField expected = colour_field(made::photo_of(upright), 60);
  const GreyField grey = grey_field(made::photo_of(upright), 60);
  for (int orientation = 2; orientation <= 8; ++orientation) {
    SCOPED_TRACE(orientation);
    const Photo photo = made::photo_of(made::stored_for(upright, orientation), orientation);
    const ColourField field = colour_field(photo, 60);
    ASSERT_EQ(field.width, expected.width);
    ASSERT_EQ(field.height, expected.height);
    EXPECT_EQ(field.light, expected.light);
    EXPECT_EQ(field.green, expected.green);
    EXPECT_EQ(grey_field(photo, 60).pixels, grey.pixels);
  }
}

TEST(ColourField, HalfSizeIsTheMeanOfFour) {
  const ColourField field = colour_field(made::photo_of(made::lopsided_picture(64, 48)), 64);
  const ColourField half = half_size(field);
  EXPECT_EQ(half.width, 32);
  EXPECT_EQ(half.height, 24);
  EXPECT_DOUBLE_EQ(half.step_x, 2.0);
  const float mean = 0.25F * (field.light[field.index(20, 10)] + field.light[field.index(21, 10)] +
                              field.light[field.index(20, 11)] + field.light[field.index(21, 11)]);
  EXPECT_NEAR(half.light[half.index(10, 5)], mean, 1e-6F);
  EXPECT_NEAR((half.photo_from_field({10, 5}) - Point(20.5, 10.5)).norm(), 0.0, 1e-12);
}

TEST(ColourField, HalfSizeOfAnOddFieldStaysInPlace) {
  const ColourField field = colour_field(made::photo_of(made::lopsided_picture(65, 49)), 65);
  const ColourField half = half_size(field);
  EXPECT_EQ(half.width, 32);
  EXPECT_NEAR(half.photo_from_field({-0.5, -0.5}).norm(), Point(-0.5, -0.5).norm(), 1e-12);
  EXPECT_NEAR(half.photo_from_field({31.5, 23.5}).x(), 64.5, 1e-12);
}

}  // namespace
}  // namespace maturity
