#include "libmaturity/pose/axis_response.h"

#include <algorithm>
#include <cmath>

#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/stem_belief.h"

namespace maturity {

namespace {

std::size_t nearest_point(const Polygon& points, const Point& target) {
  const auto nearer = [&](const Point& a, const Point& b) {
    return (a - target).squaredNorm() < (b - target).squaredNorm();
  };
  return static_cast<std::size_t>(
      std::distance(points.begin(), std::min_element(points.begin(), points.end(), nearer)));
}

Point tangent_at(const OutlineTraits& traits, std::size_t i) {
  return (traits.points[traits.at(i, 1)] - traits.points[traits.at(i, -1)]).normalized();
}

/// d(mean stem place along the edge, in units of length) per outward movement of each point.
std::vector<double> stem_slide(const OutlineTraits& traits, const StemBelief& belief) {
  std::vector<double> slide(traits.size(), 0.0);
  const double reach = static_cast<double>(kBendSteps) * traits.step;
  for (std::size_t k = 0; k < belief.chance.size(); ++k) {
    const std::size_t i = traits.at(belief.first, static_cast<std::ptrdiff_t>(k));
    const double saturation =
        1.0 / std::pow(std::cosh(traits.bend[i] * belief.length / kFlatnessRange), 2);
    // A sharper bend lowers the chance, and the mean moves away from there.
    const double by_bend = -kFlatnessWeight * belief.length * saturation * belief.chance[k] *
                           (static_cast<double>(k) - belief.mean) * traits.step;
    const double by_height = by_bend / (reach * reach);
    slide[i] += 2.0 * by_height;
    slide[traits.at(i, kBendSteps)] -= by_height;
    slide[traits.at(i, -kBendSteps)] -= by_height;
  }
  return slide;
}

}  // namespace

std::vector<double> axis_response(const Polygon& even, const Pose& pose,
                                  const PoseEvidence& evidence) {
  std::vector<double> response(even.size(), 0.0);
  if (evidence.given_stem && evidence.given_nose) {
    return response;
  }
  const OutlineTraits traits = outline_traits(even);
  const double distance = (pose.nose - pose.stem).norm();
  const Point across(-pose.axis.y(), pose.axis.x());
  const std::size_t nose = nearest_point(even, pose.nose);
  const Point nose_along = tangent_at(traits, nose);
  // The farthest point slides by slope / (bend - 1 / distance); flatter noses are held to a limit,
  // where first order ends.
  constexpr double kLeastContrast = 0.3;
  const double contrast = std::max(traits.bend[nose] - 1.0 / distance, kLeastContrast / distance);
  const double nose_turn = nose_along.dot(across) / distance;
  if (!evidence.given_nose) {
    constexpr std::ptrdiff_t kSlopeSteps = kBendSteps / 2;
    const double by_slope = nose_turn / (contrast * 2.0 * kSlopeSteps * traits.step);
    response[traits.at(nose, kSlopeSteps)] += by_slope;
    response[traits.at(nose, -kSlopeSteps)] -= by_slope;
  }
  if (!evidence.given_stem) {
    PoseEvidence seen = evidence;
    const StemBelief belief = believe_stem(traits, pose.axis, seen);
    const std::size_t stem = nearest_point(even, pose.stem);
    const Point stem_along = tangent_at(traits, stem);
    // The nose follows a stem that moves aside: a lever about the nose's centre of curvature.
    double by_stem = -stem_along.dot(across) / distance;
    if (!evidence.given_nose) {
      by_stem += nose_turn * (-stem_along.dot(nose_along) / distance) / contrast;
    }
    const std::vector<double> slide = stem_slide(traits, belief);
    for (std::size_t i = 0; i < even.size(); ++i) {
      response[i] += by_stem * slide[i];
    }
  }
  return response;
}

}  // namespace maturity
