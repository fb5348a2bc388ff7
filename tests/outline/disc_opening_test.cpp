#include "libmaturity/outline/disc_opening.h"

#include <gtest/gtest.h>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

namespace maturity {
namespace {

constexpr int kMaskWidth = 131;
constexpr int kMaskHeight = 97;
constexpr int kClearRim = 2;  // px around the blobs

// Discs and bars on a clear ground, with specks and holes.
cv::Mat blobs(int seed) {
  cv::Mat mask(kMaskHeight, kMaskWidth, CV_8UC1, cv::Scalar(0));
  cv::RNG random(static_cast<std::uint64_t>(seed));
  for (int k = 0; k < 5; ++k) {
    cv::circle(mask, {random.uniform(15, 115), random.uniform(15, 80)}, random.uniform(3, 26),
               cv::Scalar(255), cv::FILLED);
    cv::line(mask, {random.uniform(3, 127), random.uniform(3, 93)},
             {random.uniform(3, 127), random.uniform(3, 93)}, cv::Scalar(255), 3);
    cv::circle(mask, {random.uniform(15, 115), random.uniform(15, 80)}, 2, cv::Scalar(0),
               cv::FILLED);
  }
  mask.row(0).setTo(0.0);
  const cv::Rect inner(kClearRim, kClearRim, kMaskWidth - 2 * kClearRim,
                       kMaskHeight - 2 * kClearRim);
  cv::Mat clear(kMaskHeight, kMaskWidth, CV_8UC1, cv::Scalar(0));
  mask(inner).copyTo(clear(inner));
  return clear;
}

cv::Mat opened(cv::Mat mask, int radius) {
  open_with_disc({mask.data, mask.total()}, mask.cols, mask.rows, radius);
  return mask;
}

cv::Mat opened_by_reference(const cv::Mat& mask, int radius) {
  cv::Mat out;
  cv::morphologyEx(mask, out, cv::MORPH_OPEN,
                   cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * radius + 1, 2 * radius + 1}));
  return out;
}

// OpenCV's general opening with an elliptic structuring element as reference.
TEST(OpenWithDisc, EqualsTheGeneralOpening) {
  int kept = 0;
  for (int seed = 1; seed <= 12; ++seed) {
    for (const int radius : {1, 2, 5, 9, 17, 40}) {
      const cv::Mat mask = blobs(seed);
      const cv::Mat expected = opened_by_reference(mask, radius);
      EXPECT_EQ(cv::norm(opened(mask.clone(), radius), expected, cv::NORM_INF), 0.0)
          << "seed " << seed << ", radius " << radius;
      kept += cv::countNonZero(expected) > 0 ? 1 : 0;
    }
  }
  EXPECT_GT(kept, 30);
}

TEST(OpenWithDisc, AnotherRadiusIsNoticed) {
  const cv::Mat mask = blobs(3);
  EXPECT_GT(cv::norm(opened(mask.clone(), 6), opened_by_reference(mask, 5), cv::NORM_INF), 0.0);
}

TEST(OpenWithDisc, NothingBeyondTheMaskHoldsUpADisc) {
  cv::Mat full(20, 20, CV_8UC1, cv::Scalar(255));
  full = opened(full, 6);
  EXPECT_EQ(full.at<std::uint8_t>(0, 0), 0);  // no disc of 6 px reaches the corner
  EXPECT_EQ(full.at<std::uint8_t>(10, 0), 255);
  cv::Mat narrow(4, 20, CV_8UC1, cv::Scalar(255));
  EXPECT_EQ(cv::countNonZero(opened(narrow, 3)), 0);
}

TEST(OpenWithDisc, RefusesWhatDoesNotFit) {
  cv::Mat mask(4, 5, CV_8UC1, cv::Scalar(255));
  EXPECT_THROW(open_with_disc({mask.data, 19}, 5, 4, 1), std::invalid_argument);
  EXPECT_THROW(open_with_disc({mask.data, 20}, 5, 4, -1), std::invalid_argument);
  EXPECT_THROW(open_with_disc({mask.data, 20}, 5, 4, 255), std::invalid_argument);
  EXPECT_NO_THROW(open_with_disc({mask.data, 0}, 0, 0, 3));
}

}  // namespace
}  // namespace maturity
