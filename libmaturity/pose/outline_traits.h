#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Points on which a pose is judged.
inline constexpr std::size_t kPosePoints = 256;

/// What the evidence on a pose is drawn from: an evenly spaced outline (turning from +x towards
/// +y) with its moments, its bends and its depth below the convex hull.
struct OutlineTraits {
  Polygon points;
  Point centre = Point::Zero();
  double area = 0.0;
  double perimeter = 0.0;
  double step = 0.0;
  /// Corners of the convex hull, as indices in rising order.
  std::vector<std::size_t> hull;
  /// Unit vector of the moments' long direction, either way.
  Point long_direction = Point::UnitX();
  /// Ratio of the semi-axes of the ellipse of equal second moments, 1 or more.
  double moment_elongation = 1.0;
  /// Third moments x^3, x^2 y, x y^2, y^3 about the centre, of the plain units (length^5).
  std::array<double, 4> third{};
  /// Curvature per unit of length, smoothed over kBendSteps points to both sides.
  std::vector<double> bend;
  /// Depth below the hull side that bridges the point; 0 on the hull.
  std::vector<double> depth;

  std::size_t size() const { return points.size(); }
  /// The point `steps` further (or back), at most once round.
  std::size_t at(std::size_t i, std::ptrdiff_t steps) const {
    const auto n = static_cast<std::ptrdiff_t>(points.size());
    const std::ptrdiff_t k = static_cast<std::ptrdiff_t>(i) + steps;
    return static_cast<std::size_t>(k < 0 ? k + n : (k >= n ? k - n : k));
  }
};

/// About 0.06 of the length to both sides: short enough for a beak, long enough for edge noise.
inline constexpr std::ptrdiff_t kBendSteps = 6;

/// `even`: from even_outline, kPosePoints points. Moments, bends and depths stay empty.
OutlineTraits plain_traits(Polygon even);

/// `even`: from even_outline, kPosePoints points.
OutlineTraits outline_traits(Polygon even);

}  // namespace maturity
