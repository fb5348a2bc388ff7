#pragma once

#include <Eigen/Core>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// A body lying on the board: its widest horizontal section is `section` (board frame) at height
/// half_thickness; at relative height h (-1..1) above it the section is shrunk about `centre` to r
/// with r^exponent + |h|^exponent = 1. An elliptic section and exponent 2 make it an ellipsoid; a
/// larger exponent makes the flanks fuller.
struct RestingSolid {
  Polygon section;
  Point centre = Point::Zero();
  double half_thickness = 0.0;
  double exponent = 2.0;
};

/// What the camera sees of the solid's rim, traced on the board plane z = 0: for every point of the
/// section the line of sight that touches the flank there (see flank.h), followed down to the
/// board. Exact for ellipsoids (checked against the projected quadric). Camera in the board frame,
/// above the solid, or std::invalid_argument.
Polygon silhouette_on_board(const RestingSolid& solid, const Eigen::Vector3d& camera);

}  // namespace maturity
