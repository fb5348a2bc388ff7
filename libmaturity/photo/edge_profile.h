#pragma once

#include <optional>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// Where a dark-to-bright step lies along a line, in px from the line's middle.
struct StepEdge {
  double offset_px = 0.0;
  /// Step height in linear light, positive when it brightens along the line.
  double contrast = 0.0;
  /// Width of the ramp from 10 to 90 %, px.
  double width_px = 0.0;
};

/// Strongest luminance step on the line middle +/- half_width_px * direction (unit vector), by the
/// centroid of the gradient around its peak in linear light: exact for an area-sampled step,
/// blurred or not. Empty when the line is flat (contrast under 0.02).
std::optional<StepEdge> find_step(const Photo& photo, const Point& middle, const Point& direction,
                                  double half_width_px);

}  // namespace maturity
