#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Something narrow that leaves the outline: a stem, a stub, a speck of dirt.
struct Stub {
  /// First and last point of the outline it covers (the run may pass the end of the list).
  std::size_t first = 0;
  std::size_t length = 0;
  /// How far out it can be followed, px.
  double reach_px = 0.0;
};

/// Stubs along an outline: places where a few neighbouring points see another colour just outside
/// than the median of their wider neighbourhood, so an edge of a shadow or a stain, which changes
/// the colour for good, is none. `outward`: unit normals; `unit_px`: about 3 mm on the fruit.
std::vector<Stub> find_stubs(const Photo& photo, const Polygon& outline, const Polygon& outward,
                             double unit_px);

/// Replaces the points of a stub by the curve that its neighbours on both sides point to.
void bridge(Polygon& outline, const Stub& stub);

}  // namespace maturity
