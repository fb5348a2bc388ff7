#pragma once

#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/colour_field.h"

namespace maturity {

/// How the field changes from just outside to just inside at one point of an outline: log units of
/// yellow, and of green and light where yellow is not lost. Skin is yellower than any board or
/// shadow.
struct EdgeStep {
  Point at;
  double step = 0.0;
};

/// Steps at every second point of an outline (whole field pixels, each next to the last); none
/// where it runs along the photo's edge.
std::vector<EdgeStep> edge_steps(const Polygon& outline, const ColourField& field);

/// The step below which a share (0 to 1) of them lies; 0 for too few to tell.
double low_step(std::vector<EdgeStep> steps, double share);

/// Whether what an outer outline adds to an inner one is a shadow: where the two run apart, the
/// step into skin is at the inner one, and at the outer one, where the light ends, it is less than
/// 0.4 of it. Around a sunlit or blushed part of a fruit it is the other way round. False where
/// they hardly differ.
bool only_shadow_between(const Polygon& inner, const Polygon& outer, const ColourField& field);

}  // namespace maturity
