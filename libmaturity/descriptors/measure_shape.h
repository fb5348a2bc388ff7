#pragma once

#include "libmaturity/descriptors/descriptors.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Told of each descriptor's value and gradient as they are measured.
class GradientSink {
 public:
  virtual ~GradientSink() = default;
  virtual void take(Descriptor descriptor, const EdgeGradient& gradient) = 0;
  virtual EdgeNoise noise() const = 0;
  /// By how much the errors turn the axis, radians.
  virtual double turn_sd() const = 0;
};

/// All descriptors of one framed outline. Those that need the beak side are NaN where the side is
/// not known, except the three that look for the beak (`beak_prominence`, `beak_curvature`,
/// `sinus_depth`): they are measured on both sides and the greater value is kept, since a beak is
/// wherever one sticks out. `sink` may be null: then no gradients are made.
Descriptors measure_shape(const FramedOutline& outline, GradientSink* sink);

}  // namespace maturity
