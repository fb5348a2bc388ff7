#pragma once

#include <vector>

#include "libmaturity/core/edge_noise.h"
#include "libmaturity/pose/outline_traits.h"

namespace maturity {

/// How the nose, the point of the outline farthest from the stem, slides along the edge when the
/// edge has errors.
struct NoseSlide {
  /// Mean slide per unit of outward movement of each point, in the order of the points.
  std::vector<double> by_edge;
  /// Variance of the slide beyond what `by_edge` gives, in squared units of length.
  double scatter = 0.0;
  /// Standard deviation of the slide by the parabola, both together.
  double sd = 0.0;
  /// Mean slide.
  double mean = 0.0;
  /// By how much the distance from the stem bends where the nose may be, per unit of length: a
  /// slope s slides the nose by s / bend.
  double bend = 0.0;
};

/// Near the nose the distance from the stem falls like a parabola, and the nose is the top of
/// parabola plus errors. A slope added to that moves it as a whole, so the mean slide is slope over
/// bend however rough the errors are, and its mean answer to them is their slope, averaged over
/// where the nose may be, over the bend. On a sharp nose that is all; on a blunt one the nose also
/// jumps from bump to bump. `place`: the nose as found.
NoseSlide nose_slide(const OutlineTraits& traits, const Point& stem, const Point& place,
                     const EdgeNoise& noise);

}  // namespace maturity
