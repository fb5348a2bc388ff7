#pragma once

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Largest disc inside the outline.
struct InscribedDisc {
  Point centre = Point::Zero();
  double radius = 0.0;
  /// Points of the outline nearest to the centre on the ventral and the dorsal arc.
  std::size_t ventral = 0;
  std::size_t dorsal = 0;
};

/// Found by walking along the line that is equally far from the ventral and the dorsal arc (from
/// nose to most proximal point either way) and taking the widest place; distances are to the
/// points of the outline, so the radius is at most step^2 / (8 radius) too large.
InscribedDisc largest_inscribed_disc(const FramedOutline& outline);

/// Adds factor * d(radius)/d(points): to first order the mean movement of the two touched points.
void add_inscribed_radius(EdgeGradient* gradient, const FramedOutline& outline,
                          const InscribedDisc& disc, double factor);

}  // namespace maturity
