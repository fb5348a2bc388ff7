#pragma once

#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// How the direction of the axis answers to small errors of the edge: radians (from +x towards +y)
/// per unit of outward movement of each point, to first order. The stem's mean place slides with
/// the bends of the proximal end, the nose (the point farthest from it) with the slope of the edge
/// there. `even`: from even_outline with kPosePoints points, the outline the pose was found on;
/// `evidence` as it was for find_pose: what a person stated does not move.
std::vector<double> axis_response(const Polygon& even, const Pose& pose,
                                  const PoseEvidence& evidence);

}  // namespace maturity
