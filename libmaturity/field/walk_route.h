#pragma once

#include <cstddef>
#include <vector>

namespace maturity {

/// A tree to visit: its row and its place along the row, both from 1.
struct WalkStop {
  int row = 1;
  int tree = 1;
};

/// Spacing and size of a block of straight rows of equal length.
struct RowLayout {
  int trees_per_row = 1;
  double row_spacing_m = 0.0;
  double tree_spacing_m = 0.0;
};

struct WalkRoute {
  /// Indices of the stops in walking order.
  std::vector<std::size_t> order;
  /// Walked from the first stop's end of its row to the last stop, m; 0 spacing gives 0.
  double length_m = 0.0;
};

/// Route as people walk rows: up one row, down the next that has a stop; rows change at their ends
/// only, never mid-way; the last row is left at its last stop. Starts at tree 1 of the lowest row.
/// Throws std::invalid_argument for rows or trees below 1, a tree beyond the row's end, or negative
/// spacing.
WalkRoute serpentine_route(const std::vector<WalkStop>& stops, const RowLayout& layout);

/// Where in the canopy the n-th fruit of a walk is taken: sides and heights in turn, so that no one
/// picks the prettiest. Turns from a start that the seed of the walk gives.
struct CanopyPlace {
  /// 0..3: the four sides in the order of the walk; 0..2: low, middle, high.
  int side = 0;
  int height = 0;
};
CanopyPlace canopy_place(int fruit, int start);

}  // namespace maturity
