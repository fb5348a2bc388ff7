#pragma once

#include <Eigen/Core>
#include <utility>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Homography that takes the first point of each pair nearest to the second: direct linear
/// transform on centred, scaled points (Hartley and Zisserman, Multiple View Geometry, algorithm
/// 4.2, from memory). At least four pairs, no three of four on a line.
Eigen::Matrix3d homography(const std::vector<std::pair<Point, Point>>& pairs);

}  // namespace maturity
