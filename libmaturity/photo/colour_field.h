#pragma once

#include <vector>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// The photo made small and upright, as logarithms of linear light: there a shadow or a brighter
/// lamp only adds a constant, and the ratios below do not change with shading at all.
struct ColourField {
  int width = 0;
  int height = 0;
  /// Photo pixels per field pixel, across and down.
  double step_x = 1.0;
  double step_y = 1.0;
  /// log(sqrt(R G) / B): skin of mango, leaf and citrus absorb blue, boards and shadows do not.
  std::vector<float> yellow;
  /// log(G / R): green skin positive, blush negative.
  std::vector<float> green;
  /// log of luminance.
  std::vector<float> light;

  std::size_t index(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
           static_cast<std::size_t>(x);
  }
  /// Upright photo pixels of a field position (field pixel centres are whole numbers).
  Point photo_from_field(const Point& field) const {
    return {(field.x() + 0.5) * step_x - 0.5, (field.y() + 0.5) * step_y - 0.5};
  }
  Point field_from_photo(const Point& photo) const {
    return {(photo.x() + 0.5) / step_x - 0.5, (photo.y() + 0.5) / step_y - 0.5};
  }
};

/// Change of `yellow` per unit of `light` from sun to blue-sky shade: across this slope lit and
/// shaded skin are alike, and cast shadows are not skin (fitted by eye to sunlit scenes; no
/// source).
inline constexpr float kShadeSlope = 0.35F;

/// Shrinks by area average so that the longer side is at most `longest` pixels.
ColourField colour_field(const Photo& photo, int longest);

/// Half the size in both directions (2 x 2 means).
ColourField half_size(const ColourField& field);

/// Luminance shrunk by a whole factor, upright, 8 bit: for finding markers.
struct GreyField {
  int width = 0;
  int height = 0;
  double step_x = 1.0;
  double step_y = 1.0;
  std::vector<std::uint8_t> pixels;
};
GreyField grey_field(const Photo& photo, int longest);

/// Both, the same as one after the other; the luminance passes through memory once.
struct SmallCopies {
  GreyField grey;
  ColourField colour;
};
SmallCopies small_copies(const Photo& photo, int grey_longest, int colour_longest);

}  // namespace maturity
