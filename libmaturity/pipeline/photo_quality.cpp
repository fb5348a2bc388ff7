#include "libmaturity/pipeline/photo_quality.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "libmaturity/core/row_crossings.h"

namespace maturity {

namespace {

// A sharp phone photo of 4 to 12 megapixels has black-on-white edges of 1 to 2 px and fruit edges
// of 3 to 4.5 px; larger sensors are softer per pixel.
constexpr double kBlurredPaperPx = 2.9;
constexpr double kBlurredFruitPx = 5.0;
constexpr double kSoftPerPixel = 1.0 / 4500.0;
constexpr double kDarkCode = 45.0;  // brightest tenth of a photo that is too dark lies below
constexpr double kClippedCode = 251.0;
constexpr double kMostClippedFruit = 0.12;
constexpr double kMostClippedPhoto = 0.65;
constexpr int kEvery = 200;  // grid of readings across the longer side

}  // namespace

std::vector<PhotoFlag> judge_quality(const Photo& photo, const std::vector<Polygon>& fruit,
                                     const EdgeWidths& widths) {
  std::vector<PhotoFlag> flags;
  const int side = std::max(photo.width(), photo.height());
  const double softness = std::max(1.0, kSoftPerPixel * side);
  const bool blurred = widths.paper_px   ? *widths.paper_px > kBlurredPaperPx * softness
                       : widths.fruit_px ? *widths.fruit_px > kBlurredFruitPx * softness
                                         : false;
  if (blurred) {
    flags.push_back(PhotoFlag::blurred);
  }
  const int step = std::max(1, side / kEvery);
  std::vector<std::vector<double>> crossings(fruit.size());
  std::vector<Eigen::AlignedBox2d> boxes(fruit.size());
  std::transform(fruit.begin(), fruit.end(), boxes.begin(), bounding_box);
  std::array<std::size_t, 256> counts{};  // of each luminance code
  std::size_t readings = 0;
  double clipped = 0.0;
  double skin = 0.0;
  double skin_clipped = 0.0;
  for (int y = step / 2; y < photo.height(); y += step) {
    for (std::size_t k = 0; k < fruit.size(); ++k) {
      crossings[k].clear();
      if (y >= boxes[k].min().y() && y <= boxes[k].max().y()) {
        crossings[k] = row_crossings(fruit[k], y);
      }
    }
    for (int x = step / 2; x < photo.width(); x += step) {
      const Point at(x, y);
      const std::uint8_t code = photo.luma_code(x, y);
      ++counts.at(code);
      ++readings;
      const bool white = code >= kClippedCode;
      clipped += white ? 1.0 : 0.0;
      const bool on_fruit =
          std::any_of(crossings.begin(), crossings.end(), [&](const std::vector<double>& cuts) {
            const auto beyond = cuts.end() - std::upper_bound(cuts.begin(), cuts.end(), at.x());
            return beyond % 2 == 1;
          });
      if (on_fruit) {
        skin += 1.0;
        skin_clipped += white ? 1.0 : 0.0;
      }
    }
  }
  // The code that a tenth of the readings lies above.
  std::size_t bright = counts.size() - 1;
  for (std::size_t above = counts.at(bright); bright > 0 && above <= readings / 10;) {
    above += counts.at(--bright);
  }
  if (static_cast<double>(bright) < kDarkCode) {
    flags.push_back(PhotoFlag::too_dark);
  }
  if (clipped > kMostClippedPhoto * static_cast<double>(readings) ||
      (skin > 0.0 && skin_clipped > kMostClippedFruit * skin)) {
    flags.push_back(PhotoFlag::overexposed);
  }
  return flags;
}

}  // namespace maturity
