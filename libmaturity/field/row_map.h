#pragma once

#include <vector>

#include "libmaturity/field/tree_sample.h"
#include "libmaturity/field/walk_route.h"

namespace maturity {

/// Degrees north and east, WGS 84.
struct GeoPoint {
  double lat_deg = 0.0;
  double lon_deg = 0.0;
};

/// The points in metres east (x) and north (y) of their middle, on the plane that touches WGS 84
/// there; within a few km true to millimetres in a metre. Formula: radii of curvature in the
/// meridian and the prime vertical (textbook geodesy, from memory). Throws std::invalid_argument
/// for latitudes outside -90..90, longitudes outside -180..180, or a block across the 180th
/// meridian.
std::vector<TreePlace> local_places(const std::vector<GeoPoint>& points);

/// Turns places into rows as walked: the direction of the rows is that in which trees of one row
/// lie, `along_m` grows in the order in which the trees of a row are listed; rows are ordered by
/// where they lie, beginning at the side of the row listed first. `row[i]` is any number that trees
/// of one row share. One size, at least 1. Throws std::invalid_argument.
std::vector<RowTree> trees_in_rows(const std::vector<int>& row,
                                   const std::vector<TreePlace>& places);

}  // namespace maturity
