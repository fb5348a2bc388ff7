#pragma once

#include <cstddef>
#include <vector>

namespace maturity {

/// Where a tree stands in its block: its row, in the order in which rows are walked (from 0), and
/// its place along the row and across the rows, m.
struct RowTree {
  int row = 0;
  double along_m = 0.0;
  double across_m = 0.0;
};

struct WalkRoute {
  /// The stops in walking order, as indices of trees.
  std::vector<std::size_t> order;
  /// Every tree where the way goes on or turns: the stops, and the row ends between them.
  std::vector<std::size_t> path;
  /// Walked along `path`, m.
  double length_m = 0.0;
};

/// Route as people walk rows: along one row to its end, back along the next that has a stop; rows
/// change at their ends only, never mid-way; the last row is left at its last stop. Starts at the
/// low end of the first row with a stop. `trees` are all trees of the block, which show where rows
/// end; `stops` are indices of trees, each once, any order. Throws std::invalid_argument for a stop
/// beyond the trees or given twice, a negative row, or a place that is not finite.
WalkRoute serpentine_route(const std::vector<RowTree>& trees,
                           const std::vector<std::size_t>& stops);

}  // namespace maturity
