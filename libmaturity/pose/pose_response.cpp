#include "libmaturity/pose/pose_response.h"

#include <cmath>
#include <cstddef>

#include "libmaturity/core/nearest_point.h"
#include "libmaturity/pose/nose_slide.h"
#include "libmaturity/pose/slide_variance.h"
#include "libmaturity/pose/stem_belief.h"
#include "libmaturity/pose/stem_slide.h"

namespace maturity {

namespace {

/// Slide of the nose over its distance from the stem, one standard deviation, from which a parabola
/// tells too little.
constexpr double kBlunt = 0.01;
/// Correlation length over the perimeter above which errors have no bumps that a nose could go to.
constexpr double kNoBumps = 0.125;

Point tangent_at(const OutlineTraits& traits, std::size_t i) {
  return (traits.points[traits.at(i, 1)] - traits.points[traits.at(i, -1)]).normalized();
}

/// What follows where stem and nose each slide by so much on their own.
class Chain {
 public:
  Chain(double nose_by_stem, double stem_by_axis, double turn_by_stem, double turn_by_nose)
      : nose_by_stem_(nose_by_stem),
        stem_by_axis_(stem_by_axis),
        turn_by_stem_(turn_by_stem),
        turn_by_nose_(turn_by_nose) {}

  PoseChange follow(double stem, double nose) const {
    const PoseChange first = after(stem, nose);
    return after(stem + stem_by_axis_ * first.turn, nose);
  }

 private:
  PoseChange after(double stem, double nose) const {
    PoseChange change;
    change.stem_slide = stem;
    change.nose_slide = nose + nose_by_stem_ * stem;
    change.turn = turn_by_stem_ * change.stem_slide + turn_by_nose_ * change.nose_slide;
    return change;
  }

  double nose_by_stem_;
  double stem_by_axis_;
  double turn_by_stem_;
  double turn_by_nose_;
};

}  // namespace

PoseResponse pose_response(const OutlineTraits& traits, const Pose& pose,
                           const PoseEvidence& evidence, const EdgeNoise& noise) {
  PoseResponse response;
  response.turn.assign(traits.size(), 0.0);
  response.stem_slide.assign(traits.size(), 0.0);
  response.nose_slide.assign(traits.size(), 0.0);
  const double distance = (pose.nose - pose.stem).norm();
  const Point across(-pose.axis.y(), pose.axis.x());
  const std::size_t nose_point = nearest_point(traits.points, pose.nose);
  const Point nose_along = tangent_at(traits, nose_point);
  const Point stem_along = tangent_at(traits, nearest_point(traits.points, pose.stem));
  StemSlide stem;
  NoseSlide nose;
  double nose_by_stem = 0.0;
  if (!evidence.given_stem) {
    stem = stem_slide(traits, believe_stem(traits, pose.axis, evidence), pose.axis, noise);
  }
  if (!evidence.given_nose) {
    nose = nose_slide(traits, pose.stem, pose.nose, noise);
    nose_by_stem = -stem_along.dot(nose_along) / (distance * nose.bend);
  }
  const Chain chain(nose_by_stem, stem.by_axis, -stem_along.dot(across) / distance,
                    nose_along.dot(across) / distance);
  // Both are linear: what one unit of either makes is enough.
  const PoseChange by_stem = chain.follow(1.0, 0.0);
  const PoseChange by_nose = chain.follow(0.0, 1.0);
  const auto add = [&](const std::vector<double>& slide, const PoseChange& by) {
    for (std::size_t i = 0; i < slide.size(); ++i) {
      response.turn[i] += slide[i] * by.turn;
      response.stem_slide[i] += slide[i] * by.stem_slide;
      response.nose_slide[i] += slide[i] * by.nose_slide;
    }
  };
  add(stem.by_edge, by_stem);
  add(nose.by_edge, by_nose);
  const auto scatter = [](const PoseChange& by, double variance) {
    const double sd = std::sqrt(variance);
    return PoseChange{sd * by.turn, sd * by.stem_slide, sd * by.nose_slide};
  };
  response.stem_scatter = scatter(by_stem, stem.scatter);
  response.nose_scatter = scatter(by_nose, nose.scatter);
  response.mean_turn = nose.mean * by_nose.turn;
  if (nose.sd > kBlunt * distance && noise.correlation_length < kNoBumps * traits.perimeter) {
    StemMoves moves;
    if (!evidence.given_stem) {
      moves.sd =
          std::sqrt(stem.scatter + slide_variance(traits, stem.by_edge, 0, traits.size(), noise));
      moves.by_axis = stem.by_axis;
    }
    if (std::hypot(by_nose.turn * nose.sd, by_stem.turn * moves.sd) > kTurnsFar) {
      response.on_blunt_nose = turn_on_blunt_nose(traits, pose, moves, nose.sd, noise);
      response.mean_turn = response.on_blunt_nose->mean;
    }
  }
  return response;
}

}  // namespace maturity
