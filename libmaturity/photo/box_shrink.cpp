#include "libmaturity/photo/box_shrink.h"

#include <algorithm>
#include <numeric>

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

void add_row(const std::uint8_t* row, int weight, std::vector<std::uint16_t>& sums) {
  std::uint16_t* sum = sums.data();
  const std::size_t columns = sums.size();
  if (weight == 1) {
    for (std::size_t x = 0; x < columns; ++x) {
      sum[x] = static_cast<std::uint16_t>(sum[x] + row[x]);
    }
    return;
  }
  const auto times = static_cast<std::uint16_t>(weight);
  for (std::size_t x = 0; x < columns; ++x) {
    sum[x] = static_cast<std::uint16_t>(sum[x] + times * row[x]);
  }
}

// Rounded division by the area of a box; by multiplication where that is exact (numerators under
// 256 areas, areas under 4096), since a million true divisions take as long as decoding.
class MeanOfBox {
 public:
  explicit MeanOfBox(int factor)
      : area_(static_cast<std::uint32_t>(factor) * static_cast<std::uint32_t>(factor)),
        inverse_(area_ < kExactBelow ? ((std::uint64_t{1} << 32U) + area_ - 1) / area_ : 0) {}

  std::uint8_t operator()(std::uint32_t total) const {
    const std::uint32_t rounded = total + area_ / 2;
    return static_cast<std::uint8_t>(inverse_ > 0 ? (rounded * inverse_) >> 32U : rounded / area_);
  }

 private:
  static constexpr std::uint32_t kExactBelow = 4096;
  std::uint32_t area_;
  std::uint64_t inverse_;
};

}  // namespace

std::vector<std::uint8_t> box_shrink(const ImageView& plane, int unit_x, int unit_y,
                                     const BoxGrid& grid) {
  const auto columns = static_cast<std::size_t>(plane.width);
  // The weights of a box add up to its factor: 16 bits hold 255 times any factor up to 257.
  std::vector<std::uint16_t> sums(columns);
  const auto width = static_cast<std::size_t>(grid.width);
  // Covers of all boxes of a row, one after the other, and where each begins.
  std::vector<Cover> across;
  std::vector<std::size_t> begins{0};
  for (int x = 0; x < grid.width; ++x) {
    const auto covers = cover_of(grid.x0 + x * grid.factor, grid.factor, unit_x, plane.width);
    across.insert(across.end(), covers.begin(), covers.end());
    begins.push_back(across.size());
  }
  const MeanOfBox mean(grid.factor);
  const auto factor = static_cast<std::size_t>(grid.factor);
  std::vector<std::uint8_t> small(width * static_cast<std::size_t>(grid.height));
  std::uint8_t* out = small.data();
  for (int y = 0; y < grid.height; ++y) {
    std::fill(sums.begin(), sums.end(), std::uint16_t{0});
    for (const Cover& c : cover_of(grid.y0 + y * grid.factor, grid.factor, unit_y, plane.height)) {
      add_row(plane.data + c.pixel * plane.stride, c.weight, sums);
    }
    if (unit_x == 1) {
      const std::uint16_t* sum = sums.data() + grid.x0;
      for (std::size_t x = 0; x < width; ++x, sum += factor) {
        *out++ = mean(std::accumulate(sum, sum + factor, std::uint32_t{0}));
      }
      continue;
    }
    for (std::size_t x = 0; x < width; ++x) {
      std::uint32_t total = 0;
      for (std::size_t k = begins[x]; k < begins[x + 1]; ++k) {
        total += static_cast<std::uint32_t>(across[k].weight) *
                 sums[static_cast<std::size_t>(across[k].pixel)];
      }
      *out++ = mean(total);
    }
  }
  return small;
}

}  // namespace maturity
