#include "tests/pipeline/board_scene.h"

#include <unistd.h>

#include <fstream>
#include <numbers>
#include <opencv2/imgcodecs.hpp>

#include "tests/photo/drawn_photo.h"

namespace maturity::made {

std::vector<DrawnFruit> five_fruit() {
  std::vector<DrawnFruit> fruit;
  for (const Point& centre : {Point(430.3, 330.2), Point(600.8, 345.4), Point(770.1, 322.7),
                              Point(510.6, 575.3), Point(690.2, 562.9)}) {
    DrawnFruit f;
    f.centre = centre;
    f.a = 75.0 + static_cast<double>(fruit.size());
    f.b = 56.0;
    f.turn_rad = 0.5 * std::numbers::pi + 0.1 * static_cast<double>(fruit.size());
    f.lopsided = 0.10;
    f.stem_px = 14.0;
    fruit.push_back(f);
  }
  return fruit;
}

cv::Mat draw(const BoardScene& scene) {
  const Camera camera = scene.camera();
  cv::Mat light = draw_sheet(scene.markers, camera, 0.4);
  if (!scene.fruit.empty()) {
    Scene board;
    board.width = camera.width;
    board.height = camera.height;
    board.ground = Light::all(0.4F);
    const cv::Mat with_fruit = draw_fruit(scene.fruit, board);
    for (int y = 0; y < light.rows; ++y) {
      for (int x = 0; x < light.cols; ++x) {
        if (with_fruit.at<Light>(y, x) != board.ground) {
          light.at<Light>(y, x) = with_fruit.at<Light>(y, x);
        }
      }
    }
  }
  light *= scene.exposure;
  blur(light, scene.blur_px);
  return bgr_codes(light, 1.5, scene.seed);
}

Bytes jpeg_of(const BoardScene& scene, const Exif& exif) {
  const cv::Mat stored = stored_for(draw(scene), exif.orientation);
  return with_exif(encode(stored, ".jpg", {cv::IMWRITE_JPEG_QUALITY, 93}), exif);
}

Bytes png_of(const BoardScene& scene, const Exif& exif) {
  return with_exif(encode(stored_for(draw(scene), exif.orientation), ".png"), exif);
}

TemporaryFolder::TemporaryFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "maturity-XXXXXX").string();
  if (mkdtemp(name.data()) == nullptr) {
    throw std::runtime_error("no temporary folder");
  }
  path_ = name;
}

TemporaryFolder::~TemporaryFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

std::string TemporaryFolder::put(const std::string& name, const Bytes& bytes) const {
  const std::filesystem::path file = path_ / name;
  std::ofstream out(file, std::ios::binary);
  for (const std::uint8_t byte : bytes) {
    out.put(static_cast<char>(byte));
  }
  return file.string();
}

}  // namespace maturity::made
