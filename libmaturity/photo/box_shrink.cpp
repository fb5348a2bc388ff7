#include "libmaturity/photo/box_shrink.h"

#include <algorithm>
#include <array>
#include <numeric>
#include <opencv2/core/hal/intrin.hpp>
#include <optional>
#include <utility>

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

using Sums = std::vector<std::uint16_t>;

void add_row(const std::uint8_t* row, int weight, Sums& sums, std::size_t columns) {
  const auto times = static_cast<std::uint16_t>(weight);
  for (std::size_t x = 0; x < columns; ++x) {
    sums[x] = static_cast<std::uint16_t>(sums[x] + times * row[x]);
  }
}

// Four rows at once: the sums are read and written once.
void add_rows(const std::array<const std::uint8_t*, 4>& rows, Sums& sums, std::size_t columns) {
  std::uint16_t* sum = sums.data();
  for (std::size_t x = 0; x < columns; ++x) {
    sum[x] = static_cast<std::uint16_t>(sum[x] + rows[0][x] + rows[1][x] + rows[2][x] + rows[3][x]);
  }
}

// Sums down the rows that a row of boxes covers.
void add_covered(const ImageView& plane, const std::vector<Cover>& covers, Sums& sums) {
  const auto columns = static_cast<std::size_t>(plane.width);
  const auto row = [&](std::size_t k) { return plane.data + covers[k].pixel * plane.stride; };
  const auto plain = [&](std::size_t k) { return k < covers.size() && covers[k].weight == 1; };
  for (std::size_t k = 0; k < covers.size();) {
    if (plain(k) && plain(k + 1) && plain(k + 2) && plain(k + 3)) {
      add_rows({row(k), row(k + 1), row(k + 2), row(k + 3)}, sums, columns);
      k += 4;
    } else {
      add_row(row(k), covers[k].weight, sums, columns);
      ++k;
    }
  }
}

// The boxes of a row as weights of eight sums each from a first one on, which a processor
// multiplies and adds in one step.
class ShortBoxes {
 public:
  static constexpr std::size_t kLength = 8;

  // Whether all boxes cover at most so many pixels and their totals fit.
  static bool fit(const std::vector<std::vector<Cover>>& boxes, int factor) {
    constexpr int kMostFactor = 128;  // 255 times it fits 15 bits
    return factor <= kMostFactor && std::all_of(boxes.begin(), boxes.end(), [](const auto& box) {
             return box.size() <= kLength &&
                    box.back().pixel - box.front().pixel < static_cast<int>(kLength);
           });
  }

  explicit ShortBoxes(const std::vector<std::vector<Cover>>& boxes)
      : weights_(boxes.size() * kLength, 0) {
    for (std::size_t x = 0; x < boxes.size(); ++x) {
      first_.push_back(static_cast<std::size_t>(boxes[x].front().pixel));
      for (const Cover& c : boxes[x]) {
        weights_[x * kLength + static_cast<std::size_t>(c.pixel) - first_[x]] =
            static_cast<std::int16_t>(
                weights_[x * kLength + static_cast<std::size_t>(c.pixel) - first_[x]] + c.weight);
      }
    }
  }

  // `sums` goes on for kLength values past the last pixel.
  void total(const Sums& sums, std::vector<std::int32_t>& totals) const {
    for (std::size_t x = 0; x < first_.size(); ++x) {
      const auto* sum = reinterpret_cast<const std::int16_t*>(sums.data() + first_[x]);  // NOLINT
      const std::int16_t* weight = weights_.data() + x * kLength;
#if CV_SIMD128
      totals[x] = cv::v_reduce_sum(cv::v_dotprod(cv::v_load(sum), cv::v_load(weight)));
#else
      totals[x] = std::inner_product(sum, sum + kLength, weight, std::int32_t{0});
#endif
    }
  }

 private:
  std::vector<std::size_t> first_;
  std::vector<std::int16_t> weights_;
};

void total_covers(const Sums& sums, const std::vector<std::vector<Cover>>& boxes,
                  std::vector<std::int32_t>& totals) {
  for (std::size_t x = 0; x < boxes.size(); ++x) {
    std::uint32_t total = 0;
    for (const Cover& c : boxes[x]) {
      total += static_cast<std::uint32_t>(c.weight) * sums[static_cast<std::size_t>(c.pixel)];
    }
    totals[x] = static_cast<std::int32_t>(total);
  }
}

// Rounded means of boxes of `area` pixels from their totals. The quotient of floats is exact for
// areas under 4096: half a unit over the area is more than all rounding of numbers under 2^20.
void add_means(const std::vector<std::int32_t>& totals, int area, std::uint8_t* out) {
  constexpr int kExactBelow = 4096;
  const std::size_t n = totals.size();
  if (area >= kExactBelow) {
    for (std::size_t x = 0; x < n; ++x) {
      out[x] = static_cast<std::uint8_t>((totals[x] + area / 2) / area);
    }
    return;
  }
  const int below = area / 2;
  const float half = static_cast<float>(below) + 0.5F;
  const float inverse = 1.0F / static_cast<float>(area);
  for (std::size_t x = 0; x < n; ++x) {
    const float mean = (static_cast<float>(totals[x]) + half) * inverse;
    out[x] = static_cast<std::uint8_t>(static_cast<std::int32_t>(mean));
  }
}

// One small copy in the making, row by row.
class Shrinking {
 public:
  Shrinking(const ImageView& plane, int unit_x, int unit_y, const BoxGrid& grid)
      : plane_(plane),
        unit_y_(unit_y),
        grid_(grid),
        sums_(static_cast<std::size_t>(plane.width) + ShortBoxes::kLength),
        totals_(static_cast<std::size_t>(grid.width)) {
    for (int x = 0; x < grid.width; ++x) {
      boxes_.push_back(cover_of(grid.x0 + x * grid.factor, grid.factor, unit_x, plane.width));
    }
    if (ShortBoxes::fit(boxes_, grid.factor)) {
      short_boxes_.emplace(boxes_);
    }
    small_.reserve(totals_.size() * static_cast<std::size_t>(grid.height));
  }

  bool done() const { return row_ == grid_.height; }
  // The unit row where the next row of boxes begins.
  int next_unit() const { return grid_.y0 + row_ * grid_.factor; }

  void add_row_of_boxes() {
    std::fill(sums_.begin(), sums_.end(), std::uint16_t{0});
    add_covered(plane_, cover_of(next_unit(), grid_.factor, unit_y_, plane_.height), sums_);
    if (short_boxes_) {
      short_boxes_->total(sums_, totals_);
    } else {
      total_covers(sums_, boxes_, totals_);
    }
    small_.resize(small_.size() + totals_.size());
    add_means(totals_, grid_.factor * grid_.factor, small_.data() + small_.size() - totals_.size());
    ++row_;
  }

  std::vector<std::uint8_t> take() { return std::move(small_); }

 private:
  const ImageView& plane_;
  int unit_y_;
  BoxGrid grid_;
  int row_ = 0;
  // The weights of a box add up to its factor: 16 bits hold 255 times any factor up to 257.
  Sums sums_;
  std::vector<std::vector<Cover>> boxes_;  // of one row
  std::optional<ShortBoxes> short_boxes_;
  std::vector<std::int32_t> totals_;
  std::vector<std::uint8_t> small_;
};

}  // namespace

std::vector<std::uint8_t> box_shrink(const ImageView& plane, int unit_x, int unit_y,
                                     const BoxGrid& grid) {
  Shrinking one(plane, unit_x, unit_y, grid);
  while (!one.done()) {
    one.add_row_of_boxes();
  }
  return one.take();
}

std::array<std::vector<std::uint8_t>, 2> box_shrink_twice(const ImageView& plane,
                                                          const std::array<BoxGrid, 2>& grids) {
  std::array<Shrinking, 2> both{Shrinking(plane, 1, 1, grids[0]), Shrinking(plane, 1, 1, grids[1])};
  // By turns down the plane, so that its rows are still at hand for the second.
  while (!both[0].done() || !both[1].done()) {
    const bool first =
        both[1].done() || (!both[0].done() && both[0].next_unit() <= both[1].next_unit());
    both.at(first ? 0 : 1).add_row_of_boxes();
  }
  return {both[0].take(), both[1].take()};
}

}  // namespace maturity
