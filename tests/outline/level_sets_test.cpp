#include "libmaturity/outline/level_sets.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <stdexcept>
#include <tuple>

namespace maturity {
namespace {

constexpr int kPlaneWidth = 150;  // more than two words of 64, and a rest
constexpr int kPlaneHeight = 80;
constexpr float kLevelHeight = 0.25F;

cv::Mat hills() {
  cv::Mat plane(kPlaneHeight, kPlaneWidth, CV_32FC1);
  cv::RNG random(5);
  random.fill(plane, cv::RNG::UNIFORM, 0.0F, 6.0F);
  cv::GaussianBlur(plane, plane, {0, 0}, 2.5);
  plane = 8.0 * plane;
  return plane;
}

std::span<const float> values_of(const cv::Mat& plane) {
  return {plane.ptr<float>(), plane.total()};
}

using Facts = std::tuple<int, int, int, int, int>;  // box and pixels

std::vector<Facts> facts_of(const std::vector<Component>& components) {
  std::vector<Facts> facts;
  facts.reserve(components.size());
  for (const Component& c : components) {
    facts.emplace_back(c.box.left, c.box.top, c.box.width(), c.box.height(),
                       static_cast<int>(c.pixels));
  }
  std::sort(facts.begin(), facts.end());
  return facts;
}

std::vector<Facts> reference(const cv::Mat& plane, double level, const cv::Rect& window,
                             double least_box) {
  cv::Mat mask;
  cv::compare(plane(window), level, mask, cv::CMP_GT);
  cv::Mat labels;
  cv::Mat stats;
  cv::Mat centroids;
  const int count = cv::connectedComponentsWithStats(mask, labels, stats, centroids, 8);
  std::vector<Facts> facts;
  for (int i = 1; i < count; ++i) {
    const int* s = stats.ptr<int>(i);
    if (static_cast<double>(s[2] - 1) * (s[3] - 1) >= least_box) {
      facts.emplace_back(s[0] + window.x, s[1] + window.y, s[2], s[3], s[4]);
    }
  }
  std::sort(facts.begin(), facts.end());
  return facts;
}

// OpenCV's labelling as reference.
TEST(LevelSets, ComponentsEqualThoseOfAGeneralLabelling) {
  const cv::Mat plane = hills();
  double low = 0.0;
  double high = 0.0;
  cv::minMaxLoc(plane, &low, &high);
  const LevelSets sets(values_of(plane), kPlaneWidth, kPlaneHeight, kLevelHeight);
  EXPECT_EQ(sets.levels(), static_cast<int>(std::ceil((high - low) / kLevelHeight)) - 1);
  std::size_t most = 0;
  for (int level = 1; level <= sets.levels(); ++level) {
    for (const cv::Rect& w :
         {cv::Rect(0, 0, kPlaneWidth, kPlaneHeight), cv::Rect(11, 7, 101, 60)}) {
      for (const double least : {0.0, 12.0}) {
        const auto components = sets.above(level, {w.x, w.y, w.x + w.width, w.y + w.height}, least);
        const auto expected =
            reference(plane, low + static_cast<double>(kLevelHeight) * level, w, least);
        EXPECT_EQ(facts_of(components), expected) << "level " << level;
        most = std::max(most, expected.size());
      }
    }
  }
  EXPECT_GT(most, 15U);
}

TEST(LevelSets, RunsAreThePixelsOfTheComponent) {
  const cv::Mat plane = hills();
  const LevelSets sets(values_of(plane), kPlaneWidth, kPlaneHeight, kLevelHeight);
  const int level = sets.levels() / 2;
  cv::Mat drawn(kPlaneHeight, kPlaneWidth, CV_8UC1, cv::Scalar(0));
  for (const Component& c : sets.above(level, {0, 0, kPlaneWidth, kPlaneHeight}, 0.0)) {
    std::size_t pixels = 0;
    for (const PixelRun& run : c.runs) {
      drawn(cv::Rect(run.begin, run.row, run.end - run.begin, 1)).setTo(255.0);
      pixels += static_cast<std::size_t>(run.end - run.begin);
    }
    EXPECT_EQ(pixels, c.pixels);
  }
  double low = 0.0;
  cv::minMaxLoc(plane, &low, nullptr);
  cv::Mat expected;
  cv::compare(plane, low + static_cast<double>(kLevelHeight) * level, expected, cv::CMP_GT);
  cv::Mat thin;  // what is one pixel wide or high has a box of no area and is still there at 0
  cv::absdiff(drawn, expected, thin);
  EXPECT_EQ(cv::countNonZero(thin), 0);
}

TEST(LevelSets, OnALevelIsNotAboveIt) {
  const std::vector<float> steps{0.0F, 1.0F, 2.0F, 2.0F};
  const LevelSets sets(steps, 4, 1, 1.0F);
  EXPECT_EQ(sets.levels(), 1);  // nothing is above 2
  const auto above = sets.above(1, {0, 0, 4, 1}, 0.0);
  ASSERT_EQ(above.size(), 1U);
  EXPECT_EQ(above[0].box.left, 2);
  EXPECT_EQ(above[0].pixels, 2U);
}

TEST(LevelSets, CornersHangTogether) {
  const std::vector<float> plane{1, 0, 0,  //
                                 0, 1, 0,  //
                                 1, 0, 0};
  const LevelSets sets(plane, 3, 3, 0.4F);
  EXPECT_EQ(sets.above(1, {0, 0, 3, 3}, 0.0).size(), 1U);
}

TEST(LevelSets, RefusesWhatHasNoLevels) {
  const std::vector<float> plane{0.0F, 1.0F, std::numeric_limits<float>::infinity(), 0.0F};
  EXPECT_THROW(LevelSets(plane, 2, 2, 1.0F), std::invalid_argument);
  EXPECT_THROW(LevelSets(std::span(plane).first(2), 2, 2, 1.0F), std::invalid_argument);
  EXPECT_THROW(LevelSets(std::span(plane).first(2), 2, 1, 0.0F), std::invalid_argument);
  EXPECT_EQ(LevelSets(std::vector<float>{3.0F, 3.0F}, 2, 1, 1.0F).levels(), 0);
}

}  // namespace
}  // namespace maturity
