#pragma once

#include <Eigen/Core>
#include <array>
#include <optional>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Marker ids from here on are number tiles; the tile of fruit n carries id kFirstTileId + n - 1.
inline constexpr int kFirstTileId = 10;

/// A square code found on the photo: its number and corners in upright pixels, clockwise on screen
/// from the code's own top-left corner.
struct MarkerSighting {
  int id = 0;
  std::array<Point, 4> corners_px;
  /// Widths of the edges of its two pairs of sides, 10 to 90 %, px; 0 when not seen. Black on white
  /// paper: they tell how sharp the photo is, and motion widens one pair only.
  std::array<double, 2> edge_width_px{0.0, 0.0};
};

/// The printed sheet as it lies on the table, mm. See the board frame: origin at the centre of the
/// four markers, x right, y away from marker row 3-2.
struct BoardGeometry {
  double marker_width_mm = 40.0;
  double across_mm = 400.0;
  double down_mm = 300.0;
};

/// Where the camera stood over the board: a pinhole (image plane z = 1, x right, y down).
struct BoardView {
  double focal_px = 0.0;
  Point principal_px = Point::Zero();
  /// Camera axes from board axes, and the board's origin in camera axes (mm).
  Eigen::Matrix3d camera_from_board = Eigen::Matrix3d::Identity();
  Eigen::Vector3d origin_in_camera_mm = Eigen::Vector3d::Zero();
  /// False when there was no marker: lengths are then in px of the board plane and the camera is
  /// taken to look straight down.
  bool has_scale = false;
  int markers_used = 0;
  /// Relative standard error of every length on the board: taping, printing, corner noise, lens.
  double scale_relative_se = 0.0;
  /// Standard error of the camera height relative to the height (focal length).
  double height_relative_se = 0.0;
  /// Root mean square by which the markers lie off the sheet's geometry, mm.
  double marker_misfit_mm = 0.0;

  /// Board point (mm, z up) to upright pixels.
  Point image_from_board(const Eigen::Vector3d& board_mm) const;
  /// Upright pixel to the point of the board surface (z = 0) it shows.
  Point board_from_image(const Point& image_px) const;
  /// Camera position in the board frame, mm, z up.
  Eigen::Vector3d camera_position() const;
  double tilt_rad() const;
  /// Of the board surface at the image point.
  double mm_per_px(const Point& image_px) const;
};

}  // namespace maturity
