#include "libmaturity/outline/cyclic_path.h"

#include <algorithm>
#include <cstddef>
#include <limits>

namespace maturity {

namespace {

constexpr double kForbidden = 1e30;

struct Lattice {
  const std::vector<double>& cost;
  int columns;
  int rows;
  int reach;
  double stiffness;

  double at(int column, int row) const {
    return cost[static_cast<std::size_t>(column) * static_cast<std::size_t>(rows) +
                static_cast<std::size_t>(row)];
  }
};

// Path over columns first, first+1, ... (wrapping); fixed_row < 0: free ends.
std::vector<int> path_from(const Lattice& g, int first, int fixed_row) {
  const auto rows = static_cast<std::size_t>(g.rows);
  const int steps = fixed_row < 0 ? g.columns : g.columns + 1;
  const auto reach = static_cast<std::size_t>(g.reach);
  std::vector<double> padded(rows + 2 * reach, kForbidden);  // beyond the rows there is no way
  double* const best = &padded[reach];
  std::vector<int> from(rows * static_cast<std::size_t>(steps), 0);
  for (int r = 0; r < g.rows; ++r) {
    if (fixed_row < 0 || r == fixed_row) {
      best[r] = g.at(first, r);
    }
  }
  std::vector<double> least(rows);
  for (int s = 1; s < steps; ++s) {
    const auto column = static_cast<std::size_t>((first + s) % g.columns);
    const double* here = &g.cost[column * rows];
    int* step = &from[static_cast<std::size_t>(s) * rows];
    std::fill(least.begin(), least.end(), std::numeric_limits<double>::infinity());
    // All rows for one change of row at a time: without a branch the compiler takes several at
    // once.
    for (std::size_t k = 0; k <= 2 * reach; ++k) {
      const double* source = &padded[k];
      const int change = static_cast<int>(k) - g.reach;
      const double bend = g.stiffness * change * change;
      for (std::size_t r = 0; r < rows; ++r) {
        const double value = source[r] + bend;
        const bool better = value < least[r];
        least[r] = better ? value : least[r];
        step[r] = better ? change : step[r];
      }
    }
    for (std::size_t r = 0; r < rows; ++r) {
      best[r] = least[r] + here[r];
    }
  }
  int row = fixed_row;
  if (fixed_row < 0) {
    row = static_cast<int>(std::min_element(best, best + g.rows) - best);
  }
  std::vector<int> path(static_cast<std::size_t>(g.columns));
  for (int s = steps - 1; s >= 0; --s) {
    path[static_cast<std::size_t>((first + s) % g.columns)] = row;
    row += from[static_cast<std::size_t>(s) * rows + static_cast<std::size_t>(row)];
  }
  return path;
}

}  // namespace

std::vector<int> cheapest_closed_path(const std::vector<double>& cost, int columns, int rows,
                                      int reach, double stiffness) {
  if (columns < 1 || rows < 1) {
    return {};
  }
  const Lattice lattice{cost, columns, rows, reach, stiffness};
  const std::vector<int> open = path_from(lattice, 0, -1);
  const int middle = columns / 2;
  return path_from(lattice, middle, open[static_cast<std::size_t>(middle)]);
}

}  // namespace maturity
