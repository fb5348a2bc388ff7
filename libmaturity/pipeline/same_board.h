#pragma once

#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// How well the fruit of one photo can be laid over those of another.
struct BoardMatch {
  /// Fruit of the first photo that lie on one of the second after the best shift, turn and scale,
  /// from three fruit on with shear, from four on with perspective.
  int matched = 0;
  /// Mean and smallest overlap of their outlines (area in common over area of both together).
  double mean_overlap = 0.0;
  double least_overlap = 0.0;
  /// Two shots of one board: at least two fruit and three quarters of the smaller number match,
  /// with a mean overlap of 0.93 (0.965 where only two match) and none under 0.85. Fruit laid out
  /// alike on two boards overlap less, since no two are of one form. One fruit alone is never told
  /// from another.
  bool same = false;
};

/// Compares the outlines (px) of two photos, in whatever order. Fruit that touch nothing of the
/// other photo do not count against a match of three quarters: one may be cut by the frame.
BoardMatch compare_boards(const std::vector<Polygon>& first, const std::vector<Polygon>& second);

}  // namespace maturity
