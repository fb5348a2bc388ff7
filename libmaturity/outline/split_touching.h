#pragma once

#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// One part of a blob that was cut in two.
struct SplitPart {
  Polygon outline;
  /// Length of the cut over the square root of the smaller part's area: two round fruit touch along
  /// less than half their breadth, a leaf cut across is as broad as the cut is long.
  double neck = 0.0;
  /// The two parts of one cut carry the same number within a blob.
  int cut = 0;
};

/// Splits one blob's outline at the neck between two hollows that face each other: the shortest cut
/// whose both parts are at least least_area; the parts, and the parts of the parts. None when the
/// blob has no such pair of hollows. `outline`: pixel by pixel, whole numbers.
std::vector<SplitPart> split_touching(const Polygon& outline, double least_area);

}  // namespace maturity
