#pragma once

#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/descriptors.h"
#include "libmaturity/descriptors/edge_gradient.h"
#include "libmaturity/descriptors/inscribed_disc.h"

namespace maturity {

/// Told of each descriptor's value and gradient as they are measured.
class GradientSink {
 public:
  virtual ~GradientSink() = default;
  virtual void take(Descriptor descriptor, const EdgeGradient& gradient) = 0;
  virtual void take_length(const EdgeGradient& gradient) = 0;
  virtual void take_width(const EdgeGradient& gradient) = 0;
  virtual EdgeNoise noise() const = 0;
  /// What the errors do to the pose.
  virtual const PoseErrors& pose() const = 0;
};

/// What of an outline does not change when the axis turns.
struct TurnFree {
  explicit TurnFree(const FramedOutline& outline)
      : line(outline), whole(largest_inscribed_disc(outline)) {}
  BendLine line;
  InscribedDisc whole;
};

/// All descriptors of one framed outline. Those that need the beak side are NaN where the side is
/// not known, except the three that look for the beak (`beak_prominence`, `beak_curvature`,
/// `sinus_depth`): they are measured on both sides and the greater value is kept, since a beak is
/// wherever one sticks out. `sink` may be null: then no gradients are made.
Descriptors measure_shape(const FramedOutline& outline, const TurnFree& turn_free,
                          GradientSink* sink);

/// Those that change much when the axis turns and do not say themselves how; the others NaN: the
/// beak's hardly do. `turn_free` is of the same outline in another frame.
Descriptors measure_turning(const FramedOutline& outline, const TurnFree& turn_free);

}  // namespace maturity
