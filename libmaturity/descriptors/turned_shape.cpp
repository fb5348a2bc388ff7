#include "libmaturity/descriptors/turned_shape.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "libmaturity/core/nearest_point.h"

namespace maturity {

namespace {

/// The place that lies `slide` along the line from a point near it.
Point slid(const OutlineTraits& traits, const Point& from, double slide) {
  const std::size_t i = nearest_point(traits.points, from);
  const Point chord = traits.points[traits.at(i, 1)] - traits.points[traits.at(i, -1)];
  const double offset = 2.0 * (from - traits.points[i]).dot(chord) / chord.squaredNorm();
  // However large the errors: at most an eighth of the way round.
  const double most = static_cast<double>(traits.size()) / 8.0;
  const double steps = offset + std::clamp(slide / traits.step, -most, most);
  const double whole = std::floor(steps);
  const Point& a = traits.points[traits.at(i, static_cast<std::ptrdiff_t>(whole))];
  const Point& b = traits.points[traits.at(i, static_cast<std::ptrdiff_t>(whole) + 1)];
  return a + (steps - whole) * (b - a);
}

/// `turn` in the sense of the frame.
TurnedOutline outline_turned(const OutlineTraits& traits, const Pose& pose,
                             const PoseChange& per_turn, double turn) {
  const double sense = pose.ventral_side < 0 ? -1.0 : 1.0;
  Pose turned = pose;
  turned.stem = slid(traits, pose.stem, sense * turn * per_turn.stem_slide);
  turned.nose = slid(traits, pose.nose, sense * turn * per_turn.nose_slide);
  turned.axis = (turned.nose - turned.stem).normalized();
  const double across = pose.axis.x() * turned.axis.y() - pose.axis.y() * turned.axis.x();
  return {sense * std::atan2(across, pose.axis.dot(turned.axis)), frame_outline(traits, turned)};
}

double away_from_middle(const PoseErrors& errors) {
  return std::sqrt(errors.fourth_moment() * errors.turn_variance());
}

}  // namespace

std::vector<TurnedOutline> turned_outlines(const OutlineTraits& traits, const Pose& pose,
                                           const PoseErrors& errors) {
  const double middle = errors.response().mean_turn;
  const double away = away_from_middle(errors);
  return {outline_turned(traits, pose, errors.per_turn(), middle - away),
          outline_turned(traits, pose, errors.per_turn(), middle + away)};
}

TurnedShape measure_turned(const FramedOutline& framed, const Descriptors& values,
                           const TurnFree& turn_free, const PoseErrors& errors) {
  const double middle = errors.response().mean_turn;
  const double away = away_from_middle(errors);
  const FramedOutline& frame_less = errors.turned().front().outline;
  const FramedOutline& frame_more = errors.turned().back().outline;
  const Descriptors more = measure_turning(frame_more, turn_free);
  const Descriptors less = measure_turning(frame_less, turn_free);
  // The parabola through the values at -away, where the pose was found, and away from the middle.
  const double at = std::clamp(-middle, -0.7 * away, 0.7 * away);
  const auto answer = [&](double below, double here, double above) {
    TurnAnswer one;
    one.slope = (above - below) / (2.0 * away);
    const double bend = (0.5 * (above + below) + one.slope * at - here) / (away * away - at * at);
    const double by_square = bend * errors.turn_variance();
    one.scatter = by_square * by_square * (errors.fourth_moment() - 1.0);
    return one;
  };
  // What never falls below 0 has a kink: two straight pieces instead.
  const auto answer_in_pieces = [&](Descriptor descriptor) {
    const double here = values[descriptor];
    return errors.answer([&](double turn) {
      const double off = turn - middle - at;
      return off < 0.0 ? here + off / (-away - at) * (less[descriptor] - here)
                       : here + off / (away - at) * (more[descriptor] - here);
    });
  };
  TurnedShape turned;
  for (std::size_t k = 0; k < kDescriptorCount; ++k) {
    turned.values[k] = answer(less.value[k], values.value[k], more.value[k]);
  }
  for (const Descriptor rise :
       {Descriptor::shoulder_rise_ventral, Descriptor::shoulder_rise_dorsal}) {
    turned.values[static_cast<std::size_t>(rise)] = answer_in_pieces(rise);
  }
  turned.length = answer(frame_less.length, framed.length, frame_more.length);
  turned.width = answer(frame_less.width, framed.width, frame_more.width);
  return turned;
}

}  // namespace maturity
