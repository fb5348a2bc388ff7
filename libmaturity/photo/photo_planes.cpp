#include "libmaturity/photo/photo_planes.h"

#include <algorithm>
#include <array>
#include <opencv2/imgproc.hpp>
#include <sstream>
#include <string>
#include <utility>

namespace maturity {

namespace {
constexpr int kSmallestSide = 32;
// Small copies of a photo are made by its longer side: of a narrower one nothing would be left.
constexpr int kNarrowest = 20;
}  // namespace

Photo photo_from_picture(const ImageView& picture, bool red_first, const CameraFacts& facts,
                         std::vector<std::uint8_t> buffer) {
  const cv::Mat pixels(picture.height, picture.width, CV_8UC3,
                       const_cast<std::uint8_t*>(picture.data),  // NOLINT: read only
                       static_cast<std::size_t>(picture.stride));
  cv::Mat ycc;
  cv::cvtColor(pixels, ycc, red_first ? cv::COLOR_RGB2YCrCb : cv::COLOR_BGR2YCrCb);
  const auto area =
      static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height);
  buffer.resize(3 * area);
  std::array<cv::Mat, 3> planes;
  for (std::size_t i = 0; i < 3; ++i) {
    planes.at(i) = cv::Mat(picture.height, picture.width, CV_8UC1, buffer.data() + i * area);
  }
  cv::split(ycc, planes.data());
  const auto view = [&](std::size_t i) {
    return ImageView{buffer.data() + i * area, picture.width, picture.height, picture.width, 1};
  };
  const Photo::Planes views{view(0), view(2), view(1), 1, 1};
  return {std::move(buffer), views, facts};
}

void check_photo_size(int width, int height, double max_megapixels) {
  if (width < kSmallestSide || height < kSmallestSide) {
    throw PhotoError("The photo is " + std::to_string(width) + " x " + std::to_string(height) +
                     " pixels, too small to measure (at least 32 x 32).");
  }
  if (std::max(width, height) / std::min(width, height) >= kNarrowest) {
    throw PhotoError("The photo is " + std::to_string(width) + " x " + std::to_string(height) +
                     " pixels, too narrow for a photo of a board (less than 20 to 1).");
  }
  const double megapixels = 1e-6 * width * height;
  if (megapixels > max_megapixels) {
    std::ostringstream text;
    text << "The photo claims " << width << " x " << height << " pixels, more than the limit of "
         << max_megapixels << " megapixels; raise the limit if this is right.";
    throw PhotoTooLarge(text.str());
  }
}

}  // namespace maturity
