#pragma once

#include <cmath>
#include <cstddef>
#include <vector>

#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// Where the stem sits on one end of the outline: a chance for every point, from how flat or
/// hollow the edge is there, how near the middle of the end it lies, and where the photo shows a
/// stem. The nose is the point farthest from it.
struct StemBelief {
  /// First point considered and the chances of it and those after it; they sum to 1.
  std::size_t first = 0;
  std::vector<double> chance;
  /// Mean place, in points after `first`, and its standard deviation.
  double mean = 0.0;
  double sd = 0.0;
  Point stem = Point::Zero();
  Point nose = Point::Zero();
  std::size_t nose_index = 0;
  Point axis = Point::UnitX();
  /// Extent of the outline along the axis.
  double length = 0.0;
};

/// Log-weight of flatness: the chance grows by exp(kFlatnessWeight) when the bend times the length
/// falls by 1 (saturating at +-kFlatnessRange).
inline constexpr double kFlatnessWeight = 1.0;
inline constexpr double kFlatnessRange = 4.0;

/// Bend times length, saturating: x / sqrt(1 + (x / range)^2), and its slope.
inline double flatness(double bend) {
  const double x = bend / kFlatnessRange;
  return bend / std::sqrt(1.0 + x * x);
}
inline double flatness_slope(double bend) {
  const double x = bend / kFlatnessRange;
  const double square = 1.0 + x * x;
  return 1.0 / (square * std::sqrt(square));
}

/// Spread of the stem about the line through the centre of area, across the axis, over the length.
inline constexpr double kStemSpread = 0.08;

/// `towards_nose`: unit vector, roughly from the stem end to the nose end.
StemBelief believe_stem(const OutlineTraits& traits, const Point& towards_nose,
                        const PoseEvidence& evidence);

}  // namespace maturity
