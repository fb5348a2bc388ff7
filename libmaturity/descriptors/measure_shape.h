#pragma once

#include "libmaturity/descriptors/descriptors.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Told of each descriptor's value and gradient as they are measured.
class GradientSink {
 public:
  virtual ~GradientSink() = default;
  /// `at_limit`: the value stands at its lower limit 0, where first-order errors vanish; the edge
  /// error itself, over the length, then stands for what may be hidden.
  virtual void take(Descriptor descriptor, const EdgeGradient& gradient, bool at_limit) = 0;
};

/// All descriptors of one framed outline. Those that need the beak side are NaN where the side is
/// not known, except the three that look for the beak (`beak_prominence`, `beak_curvature`,
/// `sinus_depth`): they are measured on both sides and the greater value is kept, since a beak is
/// wherever one sticks out. `sink` may be null: then no gradients are made.
Descriptors measure_shape(const FramedOutline& outline, GradientSink* sink);

}  // namespace maturity
