#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "tests/board/sheet_photo.h"
#include "tests/outline/drawn_fruit.h"
#include "tests/photo/photo_files.h"

namespace maturity::made {

/// A drawn photo of the sample board, 1200 x 900 px from 620 mm: 0.69 mm a pixel.
struct BoardScene {
  std::vector<LaidMarker> markers = sheet_markers();
  std::vector<DrawnFruit> fruit;  // centre and axes in px
  Stand stand{620.0, 0.0, 0.0, 0.0, {0, 0}};
  double exposure = 1.0;  // factor on the light
  double blur_px = 0.7;
  std::uint64_t seed = 11;

  Camera camera() const { return camera_at(stand, 1200, 900); }
};

cv::Mat draw(const BoardScene& scene);

/// Two rows of fruit: 3 above, 2 below.
std::vector<DrawnFruit> five_fruit();

/// A file of it, with EXIF.
Bytes jpeg_of(const BoardScene& scene, const Exif& exif = {1, "2025:11:03 07:58:09", 26});
Bytes png_of(const BoardScene& scene, const Exif& exif);

/// A folder of this test's own, empty at first and removed at the end.
class TemporaryFolder {
 public:
  TemporaryFolder();
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  TemporaryFolder(TemporaryFolder&&) = delete;
  TemporaryFolder& operator=(TemporaryFolder&&) = delete;

  /// Writes the bytes there and returns the path.
  std::string put(const std::string& name, const Bytes& bytes) const;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

}  // namespace maturity::made
