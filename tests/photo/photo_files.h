#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

namespace maturity::made {

using Bytes = std::vector<std::uint8_t>;

/// The picture as a file of that kind (".jpg", ".png", ".tiff", ".webp"), by OpenCV.
Bytes encode(const cv::Mat& picture, const std::string& kind, const std::vector<int>& options = {});

struct Exif {
  int orientation = 1;
  std::optional<std::string> taken_at;  // as EXIF writes it
  std::optional<int> focal_35mm;
};

/// The same file with EXIF, by Exiv2.
Bytes with_exif(const Bytes& file, const Exif& exif);

/// The picture as it has to be stored so that a viewer that honours the orientation shows `upright`
/// (EXIF 2.32, tag 274: which side of the scene row 0 and column 0 are).
cv::Mat stored_for(const cv::Mat& upright, int orientation);

/// A picture without any symmetry: smooth colours with one bright corner, 8 bit BGR.
cv::Mat lopsided_picture(int width, int height);

}  // namespace maturity::made
