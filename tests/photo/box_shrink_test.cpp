#include "libmaturity/photo/box_shrink.h"

#include <gtest/gtest.h>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

namespace maturity {
namespace {

cv::Mat noise(int width, int height) {
  cv::Mat image(height, width, CV_8UC1);
  cv::RNG random(17);
  random.fill(image, cv::RNG::UNIFORM, 0, 256);
  return image;
}

ImageView view_of(const cv::Mat& image) {
  return {image.data, image.cols, image.rows, static_cast<std::ptrdiff_t>(image.step), 1};
}

// Mean over units, one by one.
double mean_at(const cv::Mat& image, int unit_x, int unit_y, const BoxGrid& grid, int x, int y) {
  double sum = 0.0;
  for (int v = 0; v < grid.factor; ++v) {
    for (int u = 0; u < grid.factor; ++u) {
      const int column = std::min((grid.x0 + x * grid.factor + u) / unit_x, image.cols - 1);
      const int row = std::min((grid.y0 + y * grid.factor + v) / unit_y, image.rows - 1);
      sum += image.at<std::uint8_t>(row, column);
    }
  }
  return sum / (grid.factor * grid.factor);
}

// A general-purpose library as reference.
TEST(BoxShrink, EqualsOpencvsAreaResizeForWholeFactors) {
  for (const int factor : {2, 3, 5, 8}) {
    const BoxGrid grid{factor, 0, 0, 31, 23};
    const cv::Mat image = noise(31 * factor, 23 * factor);
    cv::Mat expected;
    cv::resize(image, expected, {31, 23}, 0, 0, cv::INTER_AREA);
    const auto small = box_shrink(view_of(image), 1, 1, grid);
    ASSERT_EQ(small.size(), expected.total());
    for (std::size_t i = 0; i < small.size(); ++i) {
      // Halves may be rounded either way.
      EXPECT_NEAR(small[i], expected.data[i], 1) << factor;
    }
  }
}

TEST(BoxShrink, MeansOfSubsampledPlanesFromAnyStart) {
  const cv::Mat image = noise(50, 40);
  for (const int unit : {1, 2, 4}) {
    for (const int factor : {1, 3, 5, 6}) {
      const BoxGrid grid{factor, 2, 1, (50 * unit - 2) / factor, (40 * unit - 1) / factor};
      const auto small = box_shrink(view_of(image), unit, unit, grid);
      for (int y = 0; y < grid.height; y += 3) {
        for (int x = 0; x < grid.width; x += 3) {
          const auto i = static_cast<std::size_t>(y) * static_cast<std::size_t>(grid.width) +
                         static_cast<std::size_t>(x);
          EXPECT_NEAR(small[i], mean_at(image, unit, unit, grid, x, y), 0.5 + 1e-9)
              << unit << " " << factor;
        }
      }
    }
  }
}

TEST(BoxShrink, TwoAtOnceEqualOneAfterTheOther) {
  const cv::Mat image = noise(101, 83);
  for (const auto& [one, other] : {std::pair(4, 5), std::pair(5, 4), std::pair(1, 9)}) {
    const BoxGrid a{one, 1, 0, 100 / one, 83 / one};
    const BoxGrid b{other, 0, 2, 101 / other, 81 / other};
    const auto both = box_shrink_twice(view_of(image), {a, b});
    EXPECT_EQ(both[0], box_shrink(view_of(image), 1, 1, a));
    EXPECT_EQ(both[1], box_shrink(view_of(image), 1, 1, b));
  }
}

TEST(BoxShrink, OnePixelToTheSideIsNoticed) {
  const cv::Mat image = noise(60, 60);
  const auto right = box_shrink(view_of(image), 1, 1, {5, 0, 0, 11, 11});
  const auto moved = box_shrink(view_of(image), 1, 1, {5, 1, 0, 11, 11});
  EXPECT_NE(right, moved);
}

TEST(BoxShrink, APlaneThatEndsEarlyRepeatsItsLastPixel) {
  // 5 luminance pixels, of which the colour plane holds two pairs.
  const std::vector<std::uint8_t> pixels{10, 50};
  const ImageView plane{pixels.data(), 2, 1, 2, 1};
  EXPECT_EQ(box_shrink(plane, 2, 2, {1, 0, 0, 5, 1}),
            (std::vector<std::uint8_t>{10, 10, 50, 50, 50}));
}

}  // namespace
}  // namespace maturity
