#pragma once

#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Where the closed line crosses the horizontal line at `y`: x in rising order, an even number. A
/// point (x, y) is inside when an odd number lies beyond it (even-odd rule, as `contains`).
std::vector<double> row_crossings(const Polygon& polygon, double y);

}  // namespace maturity
