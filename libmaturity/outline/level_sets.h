#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace maturity {

/// Pixels begin..end-1 of one row.
struct PixelRun {
  int row;
  int begin;
  int end;
};

/// Columns left..right-1, rows top..bottom-1.
struct PixelBox {
  int left;
  int top;
  int right;
  int bottom;

  int width() const { return right - left; }
  int height() const { return bottom - top; }
};

/// Pixels above a level that hang together, corners included.
struct Component {
  PixelBox box;
  std::size_t pixels;
  std::vector<PixelRun> runs;  // from the top
};

/// The parts of a picture above each of many equally spaced levels.
class LevelSets {
 public:
  /// Level k lies k steps above the least value of `plane` (row by row); no more than 254 levels.
  /// \throws std::invalid_argument if the plane has not width * height values, the step is not
  /// positive, or the least or greatest value is not finite; a NaN among others counts as the
  /// greatest.
  LevelSets(std::span<const float> plane, int width, int height, float step);

  /// How many levels have anything above them; levels count from 1.
  int levels() const { return levels_; }

  /// The components above a level within a window, those whose box reaches `least_box` pixels
  /// between the centres of its corner pixels. Union-find over runs (Wu, Otoo and Suzuki 2009).
  std::vector<Component> above(int level, const PixelBox& window, double least_box) const;

 private:
  int width_;
  int levels_ = 0;
  std::vector<std::uint8_t> rank_;  // how many levels each pixel is above
};

}  // namespace maturity
