#pragma once

#include <array>
#include <optional>
#include <vector>

#include "libmaturity/board/fit_camera.h"

namespace maturity {

/// A marker of the board in the photo, corners clockwise as seen from above, from its top left.
struct SeenMarker {
  int id;
  std::array<Point, 4> px;
};

/// Where the board's sheet has the centre of marker `id` (0..3), and its corner, mm; y up.
Point nominal_centre(int id, const BoardGeometry& geometry);
Point nominal_corner(int id, std::size_t corner, const BoardGeometry& geometry);

/// How the camera stood, for a start: from the homography of all corners, with the focal length
/// given. With four markers their centres first show which were taped with a quarter turn; `seen`
/// is put right. Empty when the sightings make no view from above.
std::optional<BoardView> first_view(std::vector<SeenMarker>& seen, const BoardGeometry& geometry,
                                    double focal, const Point& principal);

}  // namespace maturity
