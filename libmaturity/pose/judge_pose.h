#pragma once

#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// find_pose for an outline whose traits are drawn already. Throws std::invalid_argument as
/// find_pose does, on the evidence.
Pose judge_pose(const OutlineTraits& traits, const PoseEvidence& evidence);

}  // namespace maturity
