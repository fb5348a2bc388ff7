#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// Where the small copy lies: each of its pixels is the mean of `factor` x `factor` units, the
/// first beginning at unit (x0, y0). A unit is a luminance pixel.
struct BoxGrid {
  int factor = 1;
  int x0 = 0;
  int y0 = 0;
  int width = 0;
  int height = 0;
};

/// Exact area means of a plane whose pixels span `unit_x` x `unit_y` units each, rounded; row by
/// row, grid.width x grid.height. The grid must lie within the plane (the last pixel is repeated
/// where a subsampled plane ends early), its factor at most 257. OpenCV's area resize gives the
/// same from whole factors, at twenty times the cost for the factors that large photos need.
std::vector<std::uint8_t> box_shrink(const ImageView& plane, int unit_x, int unit_y,
                                     const BoxGrid& grid);

/// Two small copies of a plane of units, the same as one after the other; the plane passes through
/// memory once.
std::array<std::vector<std::uint8_t>, 2> box_shrink_twice(const ImageView& plane,
                                                          const std::array<BoxGrid, 2>& grids);

}  // namespace maturity
