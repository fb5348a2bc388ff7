#include "libmaturity/pipeline/photo_quality.h"

#include <gtest/gtest.h>

#include "tests/outline/drawn_fruit.h"

namespace maturity {
namespace {

using Flags = std::vector<PhotoFlag>;

Photo flat(float light) {
  return made::photo_of_light(made::plain_light(400, 300, made::Light::all(light)));
}

TEST(PhotoQuality, AnOrdinaryPhotoHasNoFlag) {
  EXPECT_EQ(judge_quality(flat(0.4F), {}, {1.6, 3.5}), Flags{});
  EXPECT_EQ(judge_quality(flat(0.4F), {}, {}), Flags{}) << "without edges sharpness is not judged";
}

TEST(PhotoQuality, WideEdgesAreBlur) {
  EXPECT_EQ(judge_quality(flat(0.4F), {}, {4.5, 3.5}), Flags{PhotoFlag::blurred});
  EXPECT_EQ(judge_quality(flat(0.4F), {}, {std::nullopt, 8.0}), Flags{PhotoFlag::blurred});
  EXPECT_EQ(judge_quality(flat(0.4F), {}, {1.5, 8.0}), Flags{})
      << "sharp paper: the fruit are soft by themselves";
}

TEST(PhotoQuality, NightAndGlare) {
  EXPECT_EQ(judge_quality(flat(0.01F), {}, {}), Flags{PhotoFlag::too_dark});
  EXPECT_EQ(judge_quality(flat(1.0F), {}, {}), Flags{PhotoFlag::overexposed});
  cv::Mat half = made::plain_light(400, 300, made::Light::all(0.02F));
  half.colRange(0, 100).setTo(cv::Scalar::all(0.5));
  EXPECT_EQ(judge_quality(made::photo_of_light(half), {}, {}), Flags{})
      << "a quarter in the light is enough";
}

TEST(PhotoQuality, ClippedSkinIsEnough) {
  cv::Mat light = made::plain_light(400, 300, made::Light::all(0.4F));
  const Polygon fruit{{100, 100}, {200, 100}, {200, 200}, {100, 200}};
  light(cv::Rect(100, 100, 40, 100)).setTo(cv::Scalar::all(1.0));
  EXPECT_EQ(judge_quality(made::photo_of_light(light), {fruit}, {}), Flags{PhotoFlag::overexposed});
  EXPECT_EQ(judge_quality(made::photo_of_light(light), {}, {}), Flags{});
}

}  // namespace
}  // namespace maturity
