#pragma once

#include <cmath>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Between a closed polygon and a list of whole pixels of some image library's own point type (with
/// integer members x and y), both ways.
template <typename Pixel>
Polygon polygon_of(const std::vector<Pixel>& pixels) {
  Polygon polygon;
  polygon.reserve(pixels.size());
  for (const Pixel& p : pixels) {
    polygon.emplace_back(p.x, p.y);
  }
  return polygon;
}

template <typename Pixel>
std::vector<Pixel> pixels_of(const Polygon& polygon) {
  std::vector<Pixel> pixels;
  pixels.reserve(polygon.size());
  for (const Point& p : polygon) {
    pixels.emplace_back(static_cast<int>(std::lround(p.x())), static_cast<int>(std::lround(p.y())));
  }
  return pixels;
}

}  // namespace maturity
