#include "libmaturity/photo/photo.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace maturity {

namespace {

Photo::LumaCell cell_of(const ImageView& view, double x, double y) {
  x = std::clamp(x, 0.0, static_cast<double>(view.width - 1));
  y = std::clamp(y, 0.0, static_cast<double>(view.height - 1));
  const int x0 = std::min(static_cast<int>(x), std::max(0, view.width - 2));
  const int y0 = std::min(static_cast<int>(y), std::max(0, view.height - 2));
  const int dx = view.width > 1 ? 1 : 0;
  const std::ptrdiff_t dy = view.height > 1 ? view.stride : 0;
  const double fx = x - x0;
  const double fy = y - y0;
  const std::uint8_t* p = view.data + y0 * view.stride + x0;
  return {{static_cast<double>(p[0]), static_cast<double>(p[dx]), static_cast<double>(p[dy]),
           static_cast<double>(p[dy + dx])},
          {(1.0 - fx) * (1.0 - fy), fx * (1.0 - fy), (1.0 - fx) * fy, fx * fy}};
}

double bilinear(const ImageView& view, double x, double y) {
  const Photo::LumaCell cell = cell_of(view, x, y);
  double value = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    value += cell.weight[i] * cell.luma[i];
  }
  return value;
}

}  // namespace

Photo::Photo(std::vector<std::uint8_t> buffer, const Planes& planes, CameraFacts facts)
    : buffer_(std::move(buffer)), planes_(planes), facts_(std::move(facts)) {}

int Photo::width() const { return sideways() ? planes_.luma.height : planes_.luma.width; }

int Photo::height() const { return sideways() ? planes_.luma.width : planes_.luma.height; }

Point Photo::stored_from_upright(const Point& upright) const {
  const double x = upright.x();
  const double y = upright.y();
  const double w = planes_.luma.width - 1;   // last stored column
  const double h = planes_.luma.height - 1;  // last stored row
  switch (facts_.orientation) {
    case 2:
      return {w - x, y};
    case 3:
      return {w - x, h - y};
    case 4:
      return {x, h - y};
    case 5:
      return {y, x};
    case 6:
      return {y, h - x};
    case 7:
      return {w - y, h - x};
    case 8:
      return {w - y, x};
    default:
      return upright;
  }
}

std::array<double, 3> Photo::sample(const Point& upright) const {
  const auto [blue, red] = sample_colour(upright);
  return {sample_luma(upright), blue, red};
}

double Photo::sample_luma(const Point& upright) const {
  const Point p = stored_from_upright(upright);
  return bilinear(planes_.luma, p.x(), p.y());
}

std::uint8_t Photo::luma_code(int x, int y) const {
  const Point p = stored_from_upright(Point(x, y));
  return planes_.luma.data[static_cast<std::ptrdiff_t>(p.y()) * planes_.luma.stride +
                           static_cast<std::ptrdiff_t>(p.x())];
}

std::array<double, 2> Photo::sample_colour(const Point& upright) const {
  const Point p = stored_from_upright(upright);
  const double cx = (p.x() + 0.5) / planes_.colour_shrink_x - 0.5;
  const double cy = (p.y() + 0.5) / planes_.colour_shrink_y - 0.5;
  return {bilinear(planes_.blue, cx, cy), bilinear(planes_.red, cx, cy)};
}

Photo::LumaCell Photo::luma_cell(const Point& upright) const {
  const Point p = stored_from_upright(upright);
  return cell_of(planes_.luma, p.x(), p.y());
}

std::vector<std::uint8_t> Photo::release_buffer() {
  planes_ = {};
  return std::move(buffer_);
}

}  // namespace maturity
