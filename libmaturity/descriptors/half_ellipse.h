#pragma once

#include "libmaturity/descriptors/area_between.h"

namespace maturity {

/// Every fill of an ellipse: 2 (pi/6 - sqrt(3)/8), the proximal quarter of an ellipse on one side
/// of the axis over the rectangle around it.
inline constexpr double kEllipseFill = 0.61418484930437857;

/// Area of a slice of half an ellipse of length and half-width 1, and its moment about the middle.
struct HalfEllipse {
  double area = 0.0;
  double moment = 0.0;
};

HalfEllipse half_ellipse(const Slice& slice);

}  // namespace maturity
