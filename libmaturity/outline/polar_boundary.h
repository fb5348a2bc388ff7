#pragma once

#include <cstdint>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/outline/candidates.h"
#include "libmaturity/outline/skin_evidence.h"
#include "libmaturity/photo/colour_field.h"

namespace maturity {

/// Region outline of one candidate on the field (field pixels): in polar coordinates stretched to
/// the candidate's own ellipse, the closed line that best parts skin from surroundings. Both are
/// described by histograms of colour ratios and light, learned inside and around the candidate
/// itself, so that lit board, shaded board and stains are all "surroundings". `owners`
/// says whose every pixel is (candidate number from 1, 0 for nobody's): those of others teach
/// nothing and attract nothing. `background`: the colours of `background_sample`.
Polygon polar_boundary(const ColourField& field, const Candidate& candidate,
                       const std::vector<std::uint16_t>& owners, std::uint16_t own,
                       const std::vector<SkinColour>& background);

/// The colours of a thin grid of pixels that belong to no candidate.
std::vector<SkinColour> background_sample(const ColourField& field,
                                          const std::vector<std::uint16_t>& owners);

}  // namespace maturity
