#pragma once

#include <Eigen/Core>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// A body lying on the board: its widest horizontal section is `section` (board frame) at height
/// half_thickness; at height half_thickness (1 + sin a) the section is shrunk about `centre` by cos
/// a. An elliptic section makes it an ellipsoid.
struct RestingSolid {
  Polygon section;
  Point centre = Point::Zero();
  double half_thickness = 0.0;
};

/// What the camera sees of the solid's rim, traced on the board plane z = 0: for every point of the
/// section the line of sight that touches the solid there, followed down to the board. With section
/// point m + q, direction e of the section there, d = m - camera (on the plane), D = d x e (z part
/// negative turn) the touching point at angle a fulfils
///     c D cos a + w (H - c) sin a = w c,     w = e x q,
/// which follows from the tangent plane through the camera; exact for ellipsoids (checked against
/// the projected quadric). Camera in the board frame, above the solid, or std::invalid_argument.
Polygon silhouette_on_board(const RestingSolid& solid, const Eigen::Vector3d& camera);

}  // namespace maturity
