#pragma once

#include <vector>

#include "libmaturity/board/board.h"
#include "libmaturity/photo/colour_field.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Square codes of the ArUco dictionary DICT_4X4_50, found on a small copy of the photo, their
/// sides then measured on the full luminance. Sorted by id; an id seen twice is left out (it cannot
/// be told which one is meant), except tiles, which are all kept.
std::vector<MarkerSighting> find_markers(const Photo& photo);
/// The same with the small copy at hand.
std::vector<MarkerSighting> find_markers(const Photo& photo, const GreyField& grey);

/// Longer side of the small copy, px: a 40 mm marker is 40 px and more there.
inline constexpr int kMarkerSide = 1000;

}  // namespace maturity
