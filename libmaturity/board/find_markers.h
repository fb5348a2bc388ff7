#pragma once

#include <vector>

#include "libmaturity/board/board.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Square codes of the ArUco dictionary DICT_4X4_50, found on a small copy of the photo, their
/// sides then measured on the full luminance. Sorted by id; an id seen twice is left out (it cannot
/// be told which one is meant), except tiles, which are all kept.
std::vector<MarkerSighting> find_markers(const Photo& photo);

}  // namespace maturity
