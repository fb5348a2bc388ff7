#pragma once

#include <vector>

#include "libmaturity/core/edge_noise.h"
#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/stem_belief.h"

namespace maturity {

/// How the mean place of a belief slides along the edge when the edge has errors, the line through
/// the centre held.
struct StemSlide {
  /// Mean slide per unit of outward movement of each point, in the order of the points.
  std::vector<double> by_edge;
  /// Variance of the slide beyond what `by_edge` gives, in squared units of length.
  double scatter = 0.0;
  /// Slide per radian of the axis with which the stem is sought: the line through the centre of
  /// area swings across the proximal end and takes the middle of the belief along.
  double by_axis = 0.0;
};

/// A sharper bend lowers a place's chance, and the mean place moves away from there. Chances are
/// exponentials of bends, so in a narrow hollow, where few places share them, first order is too
/// little: mean answer and scatter are those of the second order in the bends' errors.
StemSlide stem_slide(const OutlineTraits& traits, const StemBelief& belief, const Point& axis,
                     const EdgeNoise& noise);

}  // namespace maturity
