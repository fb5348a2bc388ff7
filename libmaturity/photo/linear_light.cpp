#include "libmaturity/photo/linear_light.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace maturity {

namespace {

Eigen::Vector3d linear_rgb(double luma, double blue, double red) {
  const double cb = blue - 128.0;
  const double cr = red - 128.0;
  return {linear_light(luma + 1.402 * cr), linear_light(luma - 0.344136 * cb - 0.714136 * cr),
          linear_light(luma + 1.772 * cb)};
}

}  // namespace

double linear_light(double code) {
  static const std::array<double, 1021> kTable = [] {
    std::array<double, 1021> table{};
    for (std::size_t i = 0; i < table.size(); ++i) {
      const double v = static_cast<double>(i) / 1020.0;
      table.at(i) = v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
    }
    return table;
  }();
  const double position = std::clamp(code, 0.0, 255.0) * 4.0;
  const auto i = std::min<std::size_t>(1019, static_cast<std::size_t>(position));
  return kTable[i] + (position - static_cast<double>(i)) * (kTable[i + 1] - kTable[i]);
}

double sample_light(const Photo& photo, const Point& upright) {
  const Photo::LumaCell cell = photo.luma_cell(upright);
  double light = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    light += cell.weight[i] * linear_light(cell.luma[i]);
  }
  return light;
}

Eigen::Vector3d sample_linear_rgb(const Photo& photo, const Point& upright) {
  const Photo::LumaCell cell = photo.luma_cell(upright);
  const auto [blue, red] = photo.sample_colour(upright);
  Eigen::Vector3d light = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < 4; ++i) {
    light += cell.weight[i] * linear_rgb(cell.luma[i], blue, red);
  }
  return light;
}

}  // namespace maturity
