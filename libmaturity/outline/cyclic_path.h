#pragma once

#include <vector>

namespace maturity {

/// Cheapest closed path through a ring of columns: from column to column the row may change by at
/// most `reach`, at the cost of stiffness x change^2, and the last column joins the first.
/// `cost` holds columns one after the other, `rows` values each. Returns the row per column.
/// Two passes of dynamic programming: the first finds where an unconstrained path runs half a turn
/// away from the seam, the second starts and ends there.
std::vector<int> cheapest_closed_path(const std::vector<float>& cost, int columns, int rows,
                                      int reach, float stiffness);

}  // namespace maturity
