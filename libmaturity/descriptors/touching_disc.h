#pragma once

#include <cstddef>

#include "libmaturity/descriptors/framed_outline.h"

namespace maturity {

/// Curvature (one over radius) of the largest disc that lies inside the outline and touches it at
/// a point, decided by the points farther than `gap` along the outline; 0 when none bounds it.
/// `reach`: points farther than this along the outline are not looked at (they cannot bound a disc
/// of radius below about a third of it). `bounding` is the point the disc runs into.
struct TouchingDisc {
  double curvature = 0.0;
  std::size_t bounding = 0;
};

/// `normal`: unit outward normal there. `gap` may lie between two points.
TouchingDisc touching_disc(const FramedOutline& outline, std::size_t at, const Point& normal,
                           double gap, std::ptrdiff_t reach);

}  // namespace maturity
