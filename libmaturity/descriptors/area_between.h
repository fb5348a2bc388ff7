#pragma once

#include "libmaturity/descriptors/edge_gradient.h"
#include "libmaturity/descriptors/framed_outline.h"

namespace maturity {

/// Area of the outline's part with low <= x <= high on one side of the axis (+1 ventral, y > 0;
/// -1 dorsal, y < 0), in square units. Exact for the polygon: each side is clipped, and the
/// integral of y dx taken over what remains (Green).
double area_between(const FramedOutline& outline, double low, double high, int side);

/// Adds factor * d(area_between)/d(points), the limits held.
void add_area_between(EdgeGradient* gradient, const FramedOutline& outline, double low, double high,
                      int side, double factor);

/// A slice across the fruit: limits along the axis as shares of the length, counted from the most
/// proximal point.
struct Slice {
  double from = 0.0;
  double to = 0.0;
};

/// area_between of a slice, in square units.
double slice_area(const FramedOutline& outline, const Slice& slice, int side);

/// Adds factor * d(slice_area)/d(points); the limits move with the two ends.
void add_slice_area(EdgeGradient& gradient, const FramedOutline& outline, const Slice& slice,
                    int side, double factor);

/// Length of the part of the line x = `at` that is inside the outline on that side of the axis.
double chord_at(const FramedOutline& outline, double at, int side);

}  // namespace maturity
