#pragma once

#include <optional>
#include <vector>

#include "libmaturity/core/edge_noise.h"
#include "libmaturity/pose/blunt_nose.h"
#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// A change of pose: the axis turning (radians from +x towards +y), stem and nose sliding along the
/// edge (in the order of the points, in units of length).
struct PoseChange {
  double turn = 0.0;
  double stem_slide = 0.0;
  double nose_slide = 0.0;
};

/// Standard deviation of the turn, radians, from which nothing is straight over it.
inline constexpr double kTurnsFar = 0.02;

/// How a pose answers to errors of the edge.
struct PoseResponse {
  /// Mean change per unit of outward movement of each point of the outline it was found on.
  std::vector<double> turn;
  std::vector<double> stem_slide;
  std::vector<double> nose_slide;
  /// One standard deviation of what stem and nose each move on their own beyond that, and what else
  /// follows from it.
  PoseChange stem_scatter;
  PoseChange nose_scatter;
  /// Turn on the mean: the nose may lie more to one side than the farthest place without errors.
  double mean_turn = 0.0;
  /// Where the nose turns the axis far, how it really turns: further or less far than all the above
  /// says.
  std::optional<TurnSpread> on_blunt_nose;
};

/// The stem's mean place slides with the bends of the proximal end (`stem_slide.h`), the nose, the
/// point farthest from it, with the slope of the edge there (`nose_slide.h`). The stem is sought
/// twice, the second time with the axis that the first found. What a person stated does not move.
PoseResponse pose_response(const OutlineTraits& traits, const Pose& pose,
                           const PoseEvidence& evidence, const EdgeNoise& noise);

}  // namespace maturity
