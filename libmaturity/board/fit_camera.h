#pragma once

#include <optional>
#include <vector>

#include "libmaturity/board/board.h"

namespace maturity {

/// Width and height of the upright photo, and what EXIF says of the lens.
struct ImageFrame {
  int width_px = 0;
  int height_px = 0;
  std::optional<double> focal_35mm;
};

/// Focal length in pixels of the upright photo and its relative standard error: from the 35 mm
/// equivalent (by the diagonal; EXIF rounds it to a whole mm), else a usual phone lens (26 mm).
struct FocalGuess {
  double px = 0.0;
  double relative_se = 0.0;
};
FocalGuess guess_focal(const ImageFrame& frame);

/// Camera over the board from the sheet's markers (ids 0..3), by Gauss-Newton on the corners.
/// Unknown beside the pose: focal length, print scale, and where each marker was taped (offset and
/// turn), each with its prior; the taping prior is estimated from the photo itself, so that
/// disagreement among the markers goes into scale_relative_se. Markers turned by quarters are
/// understood. Empty when no marker 0..3 is among the sightings or they fit no view of a board.
std::optional<BoardView> fit_camera(const std::vector<MarkerSighting>& sightings,
                                    const BoardGeometry& geometry, const ImageFrame& frame);

/// The view taken when there is no marker: straight down, board plane in px.
BoardView assumed_view(const ImageFrame& frame);

}  // namespace maturity
