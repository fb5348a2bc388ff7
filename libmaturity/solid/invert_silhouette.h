#pragma once

#include <Eigen/Core>
#include <optional>

#include "libmaturity/core/polygon.h"
#include "libmaturity/solid/silhouette.h"

namespace maturity {

/// What is known of the thickness of the fruit.
struct ThicknessPrior {
  /// Thickness over width.
  double ratio = 0.82;
  double ratio_sd = 0.04;
  /// Measured thickness, in the unit of the board plane; it replaces the ratio.
  std::optional<double> thickness;
  /// Fullness of the flanks, see RestingSolid.
  double exponent = 2.0;
};

/// The solid whose rim the camera saw as `silhouette` (on the board plane, in order, at least 16
/// points, evenly spaced along the line): each line of sight touches the solid in the direction of
/// the silhouette there, which fixes the touching height given the centre and the thickness; centre
/// (area centroid) and thickness (ratio x width) follow from the section, and the steps are
/// repeated until both stand still to 1e-5 of the breadth. `near`: a solid not far from this one,
/// where the steps then start. Empty when it does not settle or the camera is not above the solid.
std::optional<RestingSolid> invert_silhouette(const Polygon& silhouette,
                                              const Eigen::Vector3d& camera,
                                              const ThicknessPrior& prior,
                                              const std::optional<RestingSolid>& near = {});

/// Smallest breadth of the polygon between two parallel lines (a side of the hull on one).
double least_breadth(const Polygon& polygon);

}  // namespace maturity
