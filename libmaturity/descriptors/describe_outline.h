#pragma once

#include <optional>

#include "libmaturity/core/polygon.h"
#include "libmaturity/descriptors/descriptors.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

struct DescribeOptions {
  /// What is known of the pose, in the frame of the outline: a person's stem, nose and side, or
  /// the stem that the image stage saw. Ignored where a Pose is handed in.
  PoseEvidence evidence;
  /// Standard error of the outline across its own direction, in the outline's unit (0 to 1e7).
  /// Without it the roughness of the outline itself is taken, which misses slow errors.
  std::optional<double> edge_sd;
  /// Distance along the edge over which edge errors go together, in the outline's unit: two
  /// points s apart have errors correlated exp(-s^2 / (2 length^2)). Above 0; beyond a millionth
  /// and a thousand times the perimeter it is taken as those. Default: 0.02 of the perimeter.
  std::optional<double> edge_correlation_length;
  /// Without errors about four times as fast; `se` is then NaN.
  bool with_errors = true;
};

struct ShapeDescription {
  Pose pose;
  Descriptors descriptors;
  /// Extent along the axis and across it, in the outline's unit, with standard errors.
  double length = 0.0;
  double length_se = 0.0;
  double width = 0.0;
  double width_se = 0.0;
  /// What the errors rest on, in the outline's unit.
  double edge_sd = 0.0;
  double edge_correlation_length = 0.0;
};

/// Pose and shape of one fruit from its outline: a closed polygon without the stem, in mm or
/// pixels, y down (as in an upright photo), any start point and direction. Points that repeat
/// their neighbour are merged. Values belong to the polygon as given: no scale is assumed.
///
/// Throws std::invalid_argument, naming the point, its value and the rule, for: fewer than 16
/// different points, a coordinate that is not finite or beyond 1e7, no area, sides that cross or
/// touch, a given stem equal to the given nose or not finite, a given side other than -1, 0, +1,
/// edge_sd below 0 or above 1e7, edge_correlation_length not above 0.
ShapeDescription describe_outline(const Polygon& outline, const DescribeOptions& options = {});

/// As above with the pose known already (its stem, nose, axis, side), in the frame of the outline.
/// Throws also when the pose's axis is not a unit vector or its side not -1, 0, +1.
ShapeDescription describe_outline(const Polygon& outline, const Pose& pose,
                                  const DescribeOptions& options = {});

}  // namespace maturity
