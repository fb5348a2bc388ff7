#include "libmaturity/pose/pose_response.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "libmaturity/core/nearest_point.h"
#include "libmaturity/pose/stem_belief.h"

namespace maturity {

namespace {

Point tangent_at(const OutlineTraits& traits, std::size_t i) {
  return (traits.points[traits.at(i, 1)] - traits.points[traits.at(i, -1)]).normalized();
}

void add_stem_slide(std::vector<double>& slide, const OutlineTraits& traits,
                    const StemBelief& belief) {
  const double reach = static_cast<double>(kBendSteps) * traits.step;
  for (std::size_t k = 0; k < belief.chance.size(); ++k) {
    const std::size_t i = traits.at(belief.first, static_cast<std::ptrdiff_t>(k));
    // A sharper bend lowers the chance, and the mean moves away from there.
    const double by_bend = -kFlatnessWeight * belief.length *
                           flatness_slope(traits.bend[i] * belief.length) * belief.chance[k] *
                           (static_cast<double>(k) - belief.mean) * traits.step;
    const double by_height = by_bend / (reach * reach);
    slide[i] += 2.0 * by_height;
    slide[traits.at(i, kBendSteps)] -= by_height;
    slide[traits.at(i, -kBendSteps)] -= by_height;
  }
}

/// Slide of the stem per radian of the axis it is sought with: the line through the centre of area
/// swings across the proximal end and takes the middle of the belief along.
double slide_with_axis(const OutlineTraits& traits, const StemBelief& belief, const Point& axis) {
  const Point across(-axis.y(), axis.x());
  const double spread = kStemSpread * belief.length;
  double sum = 0.0;
  for (std::size_t k = 0; k < belief.chance.size(); ++k) {
    const std::size_t i = traits.at(belief.first, static_cast<std::ptrdiff_t>(k));
    const Point p = traits.points[i] - traits.centre;
    sum += belief.chance[k] * (static_cast<double>(k) - belief.mean) * p.dot(across) * p.dot(axis) /
           (spread * spread);
  }
  return sum * traits.step;
}

}  // namespace

PoseResponse pose_response(const OutlineTraits& traits, const Pose& pose,
                           const PoseEvidence& evidence) {
  PoseResponse response;
  response.turn.assign(traits.size(), 0.0);
  response.stem_slide.assign(traits.size(), 0.0);
  response.nose_slide.assign(traits.size(), 0.0);
  const double distance = (pose.nose - pose.stem).norm();
  const Point across(-pose.axis.y(), pose.axis.x());
  const std::size_t nose = nearest_point(traits.points, pose.nose);
  const std::size_t stem = nearest_point(traits.points, pose.stem);
  const Point nose_along = tangent_at(traits, nose);
  const Point stem_along = tangent_at(traits, stem);
  // The farthest point slides by slope / (bend - 1 / distance); flatter noses are held to a limit,
  // where first order ends.
  constexpr double kLeastContrast = 0.3;
  const double contrast = std::max(traits.bend[nose] - 1.0 / distance, kLeastContrast / distance);
  const double nose_by_stem =
      evidence.given_nose ? 0.0 : -stem_along.dot(nose_along) / (distance * contrast);
  if (!evidence.given_stem) {
    const StemBelief belief = believe_stem(traits, pose.axis, evidence);
    add_stem_slide(response.stem_slide, traits, belief);
    // The stem is sought twice, the second time with the axis that the first found.
    const double turn_by_stem =
        (nose_by_stem * nose_along.dot(across) - stem_along.dot(across)) / distance;
    const double again = turn_by_stem * slide_with_axis(traits, belief, pose.axis);
    for (std::size_t i = 0; i < traits.size(); ++i) {
      response.stem_slide[i] *= 1.0 + again;
      response.nose_slide[i] += nose_by_stem * response.stem_slide[i];
    }
  }
  if (!evidence.given_nose) {
    // The farthest point is picked from neighbours, so the slope between neighbours moves it.
    constexpr std::ptrdiff_t kSlopeSteps = 1;
    const double by_slope = 1.0 / (contrast * 2.0 * kSlopeSteps * traits.step);
    response.nose_slide[traits.at(nose, kSlopeSteps)] += by_slope;
    response.nose_slide[traits.at(nose, -kSlopeSteps)] -= by_slope;
  }
  for (std::size_t i = 0; i < traits.size(); ++i) {
    response.turn[i] = (response.nose_slide[i] * nose_along.dot(across) -
                        response.stem_slide[i] * stem_along.dot(across)) /
                       distance;
  }
  return response;
}

}  // namespace maturity
