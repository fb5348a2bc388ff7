#include "libmaturity/photo/linear_light.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace maturity {

namespace {

Eigen::Vector3d linear_rgb(double luma, double blue, double red) {
  const double cb = blue - 128.0;
  const double cr = red - 128.0;
  return {linear_light(luma + 1.402 * cr), linear_light(luma - 0.344136 * cb - 0.714136 * cr),
          linear_light(luma + 1.772 * cb)};
}

// Linear light of codes from far below 0 to far above 255, where the colour matrix leads, in steps
// fine enough to need no interpolation.
class LightTable {
 public:
  static const LightTable& get() {
    static const LightTable kTable;
    return kTable;
  }
  // Position of a code in the table.
  static float position(float code) { return (code - kFirst) * kSteps + 0.5F; }
  float at(float position) const { return light_[static_cast<std::size_t>(position)]; }

 private:
  static constexpr float kFirst = -240.0F;  // 1.772 x 128 below 0 and above 255, and a margin
  static constexpr float kSteps = 8.0F;
  static constexpr std::size_t kSize = 5888;  // 736 codes, 8 steps each

  LightTable() : light_(kSize) {
    for (std::size_t i = 0; i < kSize; ++i) {
      const double code = static_cast<double>(kFirst) + static_cast<double>(i) / kSteps;
      light_[i] = static_cast<float>(linear_light(code));
    }
  }

  std::vector<float> light_;
};

// A straight walk over one stored plane; `inside` when no sample needs the edge repeated.
struct Walk {
  const ImageView& plane;
  float x;
  float y;
  float dx;
  float dy;

  bool inside(std::size_t count) const {
    const auto within = [&](float first, float step, int size) {
      const float last = first + step * static_cast<float>(count - 1);
      const auto most = static_cast<float>(size - 1);  // exclusive: the next pixel is read too
      return first >= 0.0F && last >= 0.0F && first < most - 1e-2F && last < most - 1e-2F;
    };
    return count > 0 && within(x, dx, plane.width) && within(y, dy, plane.height);
  }
};

struct Cell {
  std::array<float, 4> value;
  std::array<float, 4> weight;

  float mean() const {
    return weight[0] * value[0] + weight[1] * value[1] + weight[2] * value[2] +
           weight[3] * value[3];
  }
};

inline Cell cell_inside(const Walk& walk, float i) {
  const float x = walk.x + i * walk.dx;
  const float y = walk.y + i * walk.dy;
  const int x0 = static_cast<int>(x);
  const int y0 = static_cast<int>(y);
  const float fx = x - static_cast<float>(x0);
  const float fy = y - static_cast<float>(y0);
  const std::uint8_t* p = walk.plane.data + y0 * walk.plane.stride + x0;
  const std::uint8_t* q = p + walk.plane.stride;
  const auto value = [](std::uint8_t code) { return static_cast<float>(code); };
  return {{value(p[0]), value(p[1]), value(q[0]), value(q[1])},
          {(1.0F - fx) * (1.0F - fy), fx * (1.0F - fy), (1.0F - fx) * fy, fx * fy}};
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

double gamma_code(double light) {
  // Even steps of the root of light, over which the curve is nearly straight.
  constexpr std::size_t kSteps = 4096;
  static const std::vector<double> kCodes = [] {
    std::vector<double> codes;
    for (std::size_t i = 0; i <= kSteps + 1; ++i) {
      const double root = static_cast<double>(i) / kSteps;
      const double v = root * root;
      codes.push_back(255.0 *
                      (v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1.0 / 2.4) - 0.055));
    }
    return codes;
  }();
  const double position = kSteps * std::sqrt(std::clamp(light, 0.0, 1.0));
  const auto i = static_cast<std::size_t>(position);
  return kCodes[i] + (position - static_cast<double>(i)) * (kCodes[i + 1] - kCodes[i]);
}

Eigen::Vector3d rgb_of_planes(const Eigen::Vector3d& planes) {
  return linear_rgb(gamma_code(planes.x()), 255.0 * planes.y() + 128.0, 255.0 * planes.z() + 128.0);
}

Eigen::Vector3d planes_of_rgb(const Eigen::Vector3d& rgb) {
  const double red = gamma_code(rgb.x());
  const double blue = gamma_code(rgb.z());
  const double luma = 0.299 * red + 0.587 * gamma_code(rgb.y()) + 0.114 * blue;
  return {linear_light(luma), (blue - luma) / (1.772 * 255.0), (red - luma) / (1.402 * 255.0)};
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

void sample_linear_rgb(const Photo& photo, const Point& upright, const Point& step,
                       std::span<Eigen::Vector3d> colours, std::span<Eigen::Vector3d> planes) {
  const Photo::Planes& stored = photo.planes();
  const Point at = photo.stored_from_upright(upright);
  const Point by = photo.stored_from_upright(upright + step) - at;
  const Point shrink(stored.colour_shrink_x, stored.colour_shrink_y);
  const Point half(0.5, 0.5);
  const auto walk = [](const ImageView& plane, const Point& from, const Point& along) {
    return Walk{plane, static_cast<float>(from.x()), static_cast<float>(from.y()),
                static_cast<float>(along.x()), static_cast<float>(along.y())};
  };
  const Walk luma = walk(stored.luma, at, by);
  const Point colour_at = (at + half).cwiseQuotient(shrink) - half;
  const Walk blue = walk(stored.blue, colour_at, by.cwiseQuotient(shrink));
  const Walk red = walk(stored.red, colour_at, by.cwiseQuotient(shrink));
  if (!luma.inside(colours.size()) || !blue.inside(colours.size())) {
    for (std::size_t i = 0; i < colours.size(); ++i) {
      const Point here = upright + static_cast<double>(i) * step;
      const auto [cb, cr] = photo.sample_colour(here);
      colours[i] = sample_linear_rgb(photo, here);
      planes[i] = {sample_light(photo, here), (cb - 128.0) / 255.0, (cr - 128.0) / 255.0};
    }
    return;
  }
  const LightTable& light = LightTable::get();
  for (std::size_t i = 0; i < colours.size(); ++i) {
    const auto k = static_cast<float>(i);
    const Cell cell = cell_inside(luma, k);
    const float cb = cell_inside(blue, k).mean() - 128.0F;
    const float cr = cell_inside(red, k).mean() - 128.0F;
    float of_luma = 0.0F;
    for (std::size_t n = 0; n < 4; ++n) {
      of_luma += cell.weight[n] * light.at(LightTable::position(cell.value[n]));
    }
    planes[i] = Eigen::Vector3f(of_luma, cb / 255.0F, cr / 255.0F).cast<double>();
    const std::array<float, 3> shift{1.402F * cr, -0.344136F * cb - 0.714136F * cr, 1.772F * cb};
    for (std::size_t c = 0; c < 3; ++c) {
      float sum = 0.0F;
      for (std::size_t n = 0; n < 4; ++n) {
        sum += cell.weight[n] * light.at(LightTable::position(cell.value[n] + shift[c]));
      }
      colours[i][static_cast<Eigen::Index>(c)] = static_cast<double>(sum);
    }
  }
}

}  // namespace maturity
