#include "libmaturity/descriptors/describe_outline.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <stdexcept>
#include <string>

#include "libmaturity/core/even_outline.h"
#include "libmaturity/descriptors/check_outline.h"
#include "libmaturity/descriptors/edge_error.h"
#include "libmaturity/descriptors/framed_outline.h"
#include "libmaturity/descriptors/measure_shape.h"
#include "libmaturity/descriptors/standard_errors.h"
#include "libmaturity/descriptors/turned_shape.h"
#include "libmaturity/pose/judge_pose.h"
#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose_response.h"

namespace maturity {

namespace {

/// Share of the perimeter over which edge errors go together where nobody says otherwise.
constexpr double kCorrelationShare = 0.02;
/// Shares of it beyond which all errors are alike, or none like its neighbour: nothing changes.
constexpr double kAllAlike = 1e3;
constexpr double kNoneAlike = 1e-6;

void check_options(const DescribeOptions& options) {
  if (options.edge_sd && !(*options.edge_sd >= 0.0 && *options.edge_sd <= kLargestCoordinate)) {
    throw std::invalid_argument("edge_sd: " + std::to_string(*options.edge_sd) +
                                ", it must be 0 to 1e7");
  }
  if (options.edge_correlation_length && !(*options.edge_correlation_length > 0.0 &&
                                           std::isfinite(*options.edge_correlation_length))) {
    throw std::invalid_argument(
        "edge_correlation_length: " + std::to_string(*options.edge_correlation_length) +
        ", it must be above 0");
  }
}

void check_pose(const Pose& pose) {
  constexpr double kUnitTolerance = 1e-6;
  if (!(std::abs(pose.axis.norm() - 1.0) < kUnitTolerance)) {
    throw std::invalid_argument("pose.axis: length " + std::to_string(pose.axis.norm()) +
                                ", it must be a unit vector");
  }
  if (std::abs(pose.ventral_side) > 1) {
    throw std::invalid_argument("pose.ventral_side: " + std::to_string(pose.ventral_side) +
                                ", it must be -1, 0 or +1");
  }
  if (!(pose.stem.allFinite() && pose.nose.allFinite())) {
    throw std::invalid_argument("pose: stem and nose must be finite");
  }
}

/// What the edge errors of one outline are taken to be.
EdgeNoise assume_edge(const Polygon& even, std::size_t points_given,
                      const DescribeOptions& options) {
  EdgeNoise edge;
  const double length = perimeter(even);
  edge.correlation_length =
      std::clamp(options.edge_correlation_length.value_or(kCorrelationShare * length),
                 kNoneAlike * length, kAllAlike * length);
  if (options.edge_sd) {
    edge.sd = *options.edge_sd;
    return edge;
  }
  // Straight sides between the given points cut a circle of that perimeter by up to
  // 2 pi length / (8 n^2).
  const auto n = static_cast<double>(points_given);
  const double cut = std::numbers::pi * length / (4.0 * n * n);
  edge.sd = std::hypot(edge_roughness(even), cut);
  if (!options.edge_correlation_length) {
    // What roughness shows goes with no neighbour.
    edge.correlation_length = length / static_cast<double>(even.size());
  }
  return edge;
}

/// `traits` may be the plain ones where no errors are wanted.
ShapeDescription describe(const OutlineTraits& traits, std::size_t points_given, const Pose& pose,
                          const DescribeOptions& options) {
  ShapeDescription result;
  result.pose = pose;
  const FramedOutline framed = frame_outline(traits, pose);
  const TurnFree turn_free(framed);
  result.length = framed.length;
  result.width = framed.width;
  const double undefined = std::numeric_limits<double>::quiet_NaN();
  result.length_se = undefined;
  result.width_se = undefined;
  result.edge_sd = undefined;
  result.edge_correlation_length = undefined;
  if (!options.with_errors) {
    result.descriptors = measure_shape(framed, turn_free, nullptr);
    return result;
  }
  const EdgeNoise edge = assume_edge(traits.points, points_given, options);
  result.edge_sd = edge.sd;
  result.edge_correlation_length = edge.correlation_length;
  PoseErrors pose_errors(framed_response(pose_response(traits, pose, options.evidence, edge), pose),
                         framed, edge);
  if (pose_errors.turn_sd() > kTurnsFar) {
    pose_errors.set_turned(turned_outlines(traits, pose, pose_errors));
  }
  StandardErrors errors(framed, edge, pose_errors);
  result.descriptors = measure_shape(framed, turn_free, &errors);
  std::optional<TurnedShape> turned;
  if (!pose_errors.turned().empty()) {
    turned = measure_turned(framed, result.descriptors, turn_free, pose_errors);
  }
  for (const DescriptorInfo& info : descriptor_registry()) {
    const bool defined = std::isfinite(result.descriptors[info.descriptor]);
    result.descriptors.error(info.descriptor) =
        defined ? errors.of(info.descriptor, turned) : undefined;
  }
  result.length_se = errors.of_length(turned);
  result.width_se = errors.of_width(turned);
  return result;
}

}  // namespace

ShapeDescription describe_outline(const Polygon& outline, const DescribeOptions& options) {
  check_options(options);
  const CheckedOutline checked = checked_outline(outline);
  const OutlineTraits traits =
      outline_traits(even_outline(checked.points, checked.facts, kPosePoints));
  return describe(traits, checked.points.size(), judge_pose(traits, options.evidence), options);
}

ShapeDescription describe_outline(const Polygon& outline, const Pose& pose,
                                  const DescribeOptions& options) {
  check_options(options);
  check_pose(pose);
  const CheckedOutline checked = checked_outline(outline);
  const auto traits_of = options.with_errors ? &outline_traits : &plain_traits;
  const OutlineTraits traits = traits_of(even_outline(checked.points, checked.facts, kPosePoints));
  return describe(traits, checked.points.size(), pose, options);
}

}  // namespace maturity
