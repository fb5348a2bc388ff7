#include "libmaturity/descriptors/describe_outline.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

#include "libmaturity/core/even_outline.h"
#include "libmaturity/descriptors/check_outline.h"
#include "libmaturity/descriptors/edge_error.h"
#include "libmaturity/descriptors/framed_outline.h"
#include "libmaturity/descriptors/measure_shape.h"
#include "libmaturity/pose/judge_pose.h"
#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose_response.h"

namespace maturity {

namespace {

/// Share of the perimeter over which edge errors go together where nobody says otherwise.
constexpr double kCorrelationShare = 0.02;

void check_options(const DescribeOptions& options) {
  if (options.edge_sd && !(*options.edge_sd >= 0.0 && std::isfinite(*options.edge_sd))) {
    throw std::invalid_argument("edge_sd: " + std::to_string(*options.edge_sd) +
                                ", it must be 0 or more");
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
  edge.correlation_length = options.edge_correlation_length.value_or(kCorrelationShare * length);
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

/// Turns gradients into standard errors, the moving frame included.
class StandardErrors : public GradientSink {
 public:
  StandardErrors(const FramedOutline& outline, const EdgeNoise& noise, PoseResponse response,
                 Descriptors& result)
      : outline_(outline),
        noise_(noise),
        error_(noise.sd, noise.correlation_length, outline.step()),
        response_(std::move(response)),
        result_(result) {
    turn_sd_ = error_.of(response_.turn);
    centre_lift_.resize(outline.size());
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Point chord = outline.points[outline.next(i)] - outline.points[outline.before(i)];
      centre_lift_[i] = 0.5 * chord.norm() * outline.points[i].y() / outline.area;
    }
  }

  void take(Descriptor descriptor, const EdgeGradient& gradient) override {
    result_.error(descriptor) = of(gradient);
  }
  EdgeNoise noise() const override { return noise_; }
  double turn_sd() const override { return turn_sd_; }

  double of(const EdgeGradient& gradient) {
    const std::size_t n = outline_.size();
    // The turned-over outline holds the same points the other way round.
    const bool turned = &gradient.outline() != &outline_;
    const double sign = turned ? -1.0 : 1.0;
    total_.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
      total_[i] = gradient.normal()[turned ? n - 1 - i : i] -
                  sign * (gradient.turn() * response_.turn[i] + gradient.lift() * centre_lift_[i] -
                          gradient.stem_slide() * response_.stem_slide[i] -
                          gradient.nose_slide() * response_.nose_slide[i]);
    }
    return std::hypot(error_.of(total_), std::sqrt(gradient.scatter()));
  }

 private:
  const FramedOutline& outline_;
  EdgeNoise noise_;
  EdgeError error_;
  /// d(pose) and d(y of the centre) per outward movement of each point, in the frame.
  PoseResponse response_;
  double turn_sd_ = 0.0;
  std::vector<double> centre_lift_;
  Descriptors& result_;
  std::vector<double> total_;
};

/// `traits` may be the plain ones where no errors are wanted.
ShapeDescription describe(const OutlineTraits& traits, std::size_t points_given, const Pose& pose,
                          const DescribeOptions& options) {
  ShapeDescription result;
  result.pose = pose;
  const FramedOutline framed = frame_outline(traits, pose);
  result.length = framed.length;
  result.width = framed.width;
  const double undefined = std::numeric_limits<double>::quiet_NaN();
  result.length_se = undefined;
  result.width_se = undefined;
  result.edge_sd = undefined;
  result.edge_correlation_length = undefined;
  if (!options.with_errors) {
    result.descriptors = measure_shape(framed, nullptr);
    return result;
  }
  const EdgeNoise edge = assume_edge(traits.points, points_given, options);
  result.edge_sd = edge.sd;
  result.edge_correlation_length = edge.correlation_length;
  PoseResponse response = pose_response(traits, pose, options.evidence);
  if (pose.ventral_side < 0) {
    // The frame runs the other way round: angles and slides change sign.
    for (std::vector<double>* part : {&response.turn, &response.stem_slide, &response.nose_slide}) {
      std::reverse(part->begin(), part->end());
      std::transform(part->begin(), part->end(), part->begin(), std::negate<>());
    }
  }
  Descriptors errors;
  StandardErrors standard_errors(framed, edge, std::move(response), errors);
  result.descriptors = measure_shape(framed, &standard_errors);
  result.descriptors.se = errors.se;
  EdgeGradient gradient(framed, edge);
  add_length(&gradient, 1.0);
  result.length_se = standard_errors.of(gradient);
  gradient.clear();
  add_half_width(&gradient, +1, 1.0);
  add_half_width(&gradient, -1, 1.0);
  result.width_se = standard_errors.of(gradient);
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
