#pragma once

#include <vector>

#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// How a pose answers to small errors of the edge, to first order: change per unit of outward
/// movement of each point of the outline it was found on.
struct PoseResponse {
  /// Direction of the axis, radians from +x towards +y.
  std::vector<double> turn;
  /// Slide of the stem and the nose along the edge, in the order of the points, in units of length.
  std::vector<double> stem_slide;
  std::vector<double> nose_slide;
};

/// The stem's mean place slides with the bends of the proximal end, the nose (the point farthest
/// from it) with the slope of the edge there. What a person stated does not move.
PoseResponse pose_response(const OutlineTraits& traits, const Pose& pose,
                           const PoseEvidence& evidence);

}  // namespace maturity
