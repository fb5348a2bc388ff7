#pragma once

#include <Eigen/Core>
#include <array>
#include <functional>
#include <opencv2/core.hpp>
#include <vector>

#include "libmaturity/board/board.h"
#include "libmaturity/core/polygon.h"

namespace maturity::made {

/// A pinhole over the board, written down without the library: position (mm, z up) and the axes of
/// the picture (right, down, forward) in the board frame.
struct Camera {
  int width = 1600;
  int height = 1200;
  double focal_px = 0.0;
  Eigen::Vector3d position = Eigen::Vector3d::Zero();
  Eigen::Matrix3d axes = Eigen::Matrix3d::Identity();

  Point principal() const { return {0.5 * (width - 1), 0.5 * (height - 1)}; }
  Point project(const Point& board_mm) const;
  Point on_board(const Point& px) const;
  double tilt_deg() const;
  /// Of the board surface at the image centre, from the area that one pixel covers there.
  double mm_per_px() const;
};

/// Camera `height_mm` over the board, looking past its centre by `aside_mm`, leaning by tilt_deg
/// towards lean_deg, turned by turn_deg; focal length as of a 26 mm lens on film.
struct Stand {
  double height_mm = 900.0;
  double tilt_deg = 0.0;
  double lean_deg = 0.0;
  double turn_deg = 0.0;
  Point aside_mm = Point::Zero();
};
Camera camera_at(const Stand& stand, int width = 1600, int height = 1200);

/// One square code lying on the board: centre, width over the black border, turned by `turn_rad`
/// and by quarters.
struct LaidMarker {
  int id = 0;
  Point centre_mm = Point::Zero();
  double width_mm = 40.0;
  double turn_rad = 0.0;
  int quarters = 0;

  /// Corners on the board from the code's own top left, clockwise seen from above.
  std::array<Point, 4> corners_mm() const;
};

/// The four markers of the sheet where they belong.
std::vector<LaidMarker> sheet_markers();

/// What a perfect finder would see.
MarkerSighting sighting_of(const LaidMarker& marker, const Camera& camera);
std::vector<MarkerSighting> sightings_of(const std::vector<LaidMarker>& markers,
                                         const Camera& camera);

/// The picture of the board in linear light (grey ground, markers on white paper), by the lines of
/// sight of 5 x 5 points in every pixel near a marker.
cv::Mat draw_sheet(const std::vector<LaidMarker>& markers, const Camera& camera,
                   double ground_light = 0.35);

}  // namespace maturity::made
