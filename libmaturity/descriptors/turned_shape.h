#pragma once

#include <array>
#include <vector>

#include "libmaturity/descriptors/descriptors.h"
#include "libmaturity/descriptors/measure_shape.h"
#include "libmaturity/descriptors/pose_errors.h"
#include "libmaturity/pose/outline_traits.h"

namespace maturity {

/// How values answer to a turn of the axis over as much as errors turn it, stem and nose going with
/// it. On a blunt nose the axis turns so far that no value is straight over it.
///
/// NaN where a value is not defined on the way, or says itself how it answers.
struct TurnedShape {
  std::array<TurnAnswer, kDescriptorCount> values;
  TurnAnswer length;
  TurnAnswer width;
};

/// The outline turned less and more, by what errors make of it.
std::vector<TurnedOutline> turned_outlines(const OutlineTraits& traits, const Pose& pose,
                                           const PoseErrors& errors);

/// Measures the turned outlines that `errors` holds and lays a parabola through three values.
/// `framed`, `values`: with the pose as found.
TurnedShape measure_turned(const FramedOutline& framed, const Descriptors& values,
                           const TurnFree& turn_free, const PoseErrors& errors);

}  // namespace maturity
