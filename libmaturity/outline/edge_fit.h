#pragma once

#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/outline/edge_rays.h"

namespace maturity {

/// How sharp a photo's edges are: standard deviation of the ramp that lens, pixels and reading
/// between them make of a step, px (held to 0.5 to 2.5), and luminance pixels to a colour pixel.
struct EdgeForm {
  double spread_px;
  Point colour_shrink;
};

/// Places an edge that is known to within a pixel or two: along every normal, together with its
/// neighbours, the step that fits the samples best in the least-squares sense, level on both sides,
/// in luminance and in colour differences at once. Most phones keep colours at half the
/// resolution and coarsely rounded: there the step is as much wider, and mixed into one colour, as
/// in RGB, it would move what the luminance shows by a third of a pixel, not the same at any two
/// places.
///
/// @param ranges rows well inside and outside, for each normal; `line_px`: offset of the edge
///   there, px outward from the middle row; `weights`: of each normal when smoothing along the edge
///   over `half_window` (smooth_ring.h).
/// @return offsets, smoothed.
std::vector<double> fit_edge(const Rays& rays, const std::vector<RowRange>& ranges,
                             std::vector<double> line_px, const std::vector<double>& weights,
                             int half_window, const EdgeForm& form);

/// How far outside the true edge colour differences change over, in standard deviations of the
/// edge's ramp; mostly below 0. Light mixes before it is coded, and the code of a mixture lies
/// nearer to its lighter side. `parted` is in planes (linear_light.h).
double colour_lag(const Parting& parted);

}  // namespace maturity
