#include "libmaturity/photo/box_shrink.h"

#include <algorithm>

namespace maturity {

namespace {

// The pixels of a plane along one direction that a box of `factor` units covers, and how much of
// each.
struct Cover {
  int pixel;
  int weight;
};

std::vector<Cover> cover_of(int first_unit, int factor, int unit, int pixels) {
  std::vector<Cover> cover;
  for (int at = first_unit; at < first_unit + factor;) {
    const int pixel = at / unit;
    const int next = std::min(first_unit + factor, (pixel + 1) * unit);
    cover.push_back({std::min(pixel, pixels - 1), next - at});
    at = next;
  }
  return cover;
}

}  // namespace

std::vector<std::uint8_t> box_shrink(const ImageView& plane, int unit_x, int unit_y,
                                     const BoxGrid& grid) {
  const auto columns = static_cast<std::size_t>(plane.width);
  std::vector<std::uint32_t> sums(columns);
  std::vector<std::vector<Cover>> across(static_cast<std::size_t>(grid.width));
  for (int x = 0; x < grid.width; ++x) {
    across[static_cast<std::size_t>(x)] =
        cover_of(grid.x0 + x * grid.factor, grid.factor, unit_x, plane.width);
  }
  const auto area =
      static_cast<std::uint32_t>(grid.factor) * static_cast<std::uint32_t>(grid.factor);
  std::vector<std::uint8_t> small;
  small.reserve(static_cast<std::size_t>(grid.width) * static_cast<std::size_t>(grid.height));
  for (int y = 0; y < grid.height; ++y) {
    std::fill(sums.begin(), sums.end(), 0U);
    for (const Cover& c : cover_of(grid.y0 + y * grid.factor, grid.factor, unit_y, plane.height)) {
      const std::uint8_t* row = plane.data + c.pixel * plane.stride;
      const auto weight = static_cast<std::uint32_t>(c.weight);
      std::uint32_t* sum = sums.data();
      for (std::size_t x = 0; x < columns; ++x) {
        sum[x] += weight * row[x];
      }
    }
    for (const std::vector<Cover>& covers : across) {
      std::uint32_t total = 0;
      for (const Cover& c : covers) {
        total += static_cast<std::uint32_t>(c.weight) * sums[static_cast<std::size_t>(c.pixel)];
      }
      small.push_back(static_cast<std::uint8_t>((total + area / 2) / area));
    }
  }
  return small;
}

}  // namespace maturity
