#include "libmaturity/pose/find_pose.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <string>

#include "libmaturity/core/even_outline.h"
#include "libmaturity/pose/judge_pose.h"
#include "libmaturity/pose/pose_evidence.h"
#include "libmaturity/pose/stem_belief.h"

namespace maturity {

namespace {

constexpr std::size_t kFewestPoints = 16;

void check_point(const std::optional<Point>& point, const char* what) {
  if (point && !(std::isfinite(point->x()) && std::isfinite(point->y()))) {
    throw std::invalid_argument(std::string(what) + ": (" + std::to_string(point->x()) + ", " +
                                std::to_string(point->y()) + "), it must be finite");
  }
}

void check(const Polygon& outline) {
  if (outline.size() < kFewestPoints) {
    throw std::invalid_argument("outline: " + std::to_string(outline.size()) +
                                " points, at least 16 are needed to tell a pose");
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (!(std::isfinite(outline[i].x()) && std::isfinite(outline[i].y()))) {
      throw std::invalid_argument("outline: point " + std::to_string(i) +
                                  " is not finite, every coordinate must be");
    }
  }
  if (!(std::abs(signed_area(outline)) > 0.0)) {
    throw std::invalid_argument("outline: its area is 0, it must enclose something");
  }
}

void check(const PoseEvidence& evidence) {
  check_point(evidence.stem_base, "stem_base");
  check_point(evidence.given_stem, "given_stem");
  check_point(evidence.given_nose, "given_nose");
  if (!(evidence.stem_base_probability >= 0.0 && evidence.stem_base_probability <= 1.0)) {
    throw std::invalid_argument(
        "stem_base_probability: " + std::to_string(evidence.stem_base_probability) +
        ", it must be 0 to 1");
  }
  if (evidence.given_ventral_side && std::abs(*evidence.given_ventral_side) > 1) {
    throw std::invalid_argument(
        "given_ventral_side: " + std::to_string(*evidence.given_ventral_side) +
        ", it must be -1, 0 or +1");
  }
  if (evidence.given_stem && evidence.given_nose &&
      !((*evidence.given_nose - *evidence.given_stem).norm() > 0.0)) {
    throw std::invalid_argument("given_nose: the same point as given_stem, they must differ");
  }
}

/// Log odds that the stem end is the one with this belief, from a stem seen in the photo or stated
/// by a person at `seen`: it speaks for the end it is nearer to.
double stem_seen(const StemBelief& belief, const Point& seen, double probability) {
  constexpr double kSurest = 0.999;
  const double p = std::clamp(probability, 1.0 - kSurest, kSurest);
  const Point middle = 0.5 * (belief.stem + belief.nose);
  const double share =
      std::clamp((middle - seen).dot(belief.axis) / (0.3 * belief.length), -1.0, 1.0);
  // p is the chance that it is a stem at all; if not it says nothing: the odds are (1+p)/(1-p).
  return 0.5 * share * std::log((1.0 + p) / (1.0 - p));
}

}  // namespace

Pose find_pose(const Polygon& outline, const PoseEvidence& evidence) {
  check(outline);
  return judge_pose(outline_traits(even_outline(outline, kPosePoints)), evidence);
}

Pose judge_pose(const OutlineTraits& traits, const PoseEvidence& evidence) {
  check(evidence);
  PoseEvidence seen = evidence;
  if (evidence.given_stem) {
    seen.stem_base = evidence.given_stem;
    seen.stem_base_probability = 1.0;
  }
  Point direction = traits.long_direction;
  if (evidence.given_stem && evidence.given_nose) {
    direction = (*evidence.given_nose - *evidence.given_stem).normalized();
  } else if (evidence.given_stem) {
    direction = (traits.centre - *evidence.given_stem).normalized();
  } else if (evidence.given_nose) {
    direction = (*evidence.given_nose - traits.centre).normalized();
  }
  const std::array<StemBelief, 2> ends = {believe_stem(traits, direction, seen),
                                          believe_stem(traits, -direction, seen)};
  std::array<std::array<double, 2>, 2> odds{};
  double most = -1e300;
  for (std::size_t e = 0; e < 2; ++e) {
    const PoseSigns signs = pose_signs(traits, ends[e]);
    for (std::size_t s = 0; s < 2; ++s) {
      odds[e][s] = pose_log_odds(s == 0 ? signs : other_side(signs));
      if (seen.stem_base) {
        odds[e][s] += stem_seen(ends[e], *seen.stem_base, seen.stem_base_probability);
      }
      most = std::max(most, odds[e][s]);
    }
  }
  std::array<std::array<double, 2>, 2> chance{};
  double sum = 0.0;
  for (std::size_t e = 0; e < 2; ++e) {
    for (std::size_t s = 0; s < 2; ++s) {
      chance[e][s] = std::exp(odds[e][s] - most);
      sum += chance[e][s];
    }
  }
  const bool end_given = evidence.given_stem || evidence.given_nose;
  const double first_end = (chance[0][0] + chance[0][1]) / sum;
  const std::size_t end = end_given || first_end >= 0.5 ? 0 : 1;

  Pose pose;
  pose.axis_probability = end_given ? 1.0 : std::max(first_end, 1.0 - first_end);
  pose.stem = evidence.given_stem.value_or(ends[end].stem);
  pose.nose = evidence.given_nose.value_or(ends[end].nose);
  pose.axis = (pose.nose - pose.stem).normalized();
  if (evidence.given_ventral_side) {
    pose.ventral_side = *evidence.given_ventral_side;
    pose.side_probability = pose.ventral_side == 0 ? 0.5 : 1.0;
  } else {
    // The side found with these ends; its sign is right for the other ends too where both agree.
    const std::size_t side = chance[end][0] >= chance[end][1] ? 0 : 1;
    const double with_end = chance[end][side] / (chance[end][0] + chance[end][1]);
    const double with_any = (chance[0][side] + chance[1][side]) / sum;
    pose.side_probability = std::max(0.5, end_given ? with_end : with_any);
    if (pose.side_probability >= kPoseCertain) {
      pose.ventral_side = side == 0 ? +1 : -1;
    }
  }
  if (pose.axis_probability < kPoseCertain ||
      (!evidence.given_ventral_side && pose.side_probability < kPoseCertain)) {
    pose.flags.push_back(FruitFlag::pose_uncertain);
  }
  return pose;
}

}  // namespace maturity
