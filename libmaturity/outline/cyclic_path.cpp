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
  std::vector<double> best(rows, kForbidden);
  std::vector<int> from(rows * static_cast<std::size_t>(steps), 0);
  for (int r = 0; r < g.rows; ++r) {
    if (fixed_row < 0 || r == fixed_row) {
      best[static_cast<std::size_t>(r)] = g.at(first, r);
    }
  }
  std::vector<double> next(rows);
  for (int s = 1; s < steps; ++s) {
    const int column = (first + s) % g.columns;
    for (int r = 0; r < g.rows; ++r) {
      double least = std::numeric_limits<double>::infinity();
      int source = r;
      for (int q = std::max(0, r - g.reach); q <= std::min(g.rows - 1, r + g.reach); ++q) {
        const double value = best[static_cast<std::size_t>(q)] + g.stiffness * (q - r) * (q - r);
        if (value < least) {
          least = value;
          source = q;
        }
      }
      next[static_cast<std::size_t>(r)] = least + g.at(column, r);
      from[static_cast<std::size_t>(s) * rows + static_cast<std::size_t>(r)] = source;
    }
    best.swap(next);
  }
  int row = fixed_row;
  if (fixed_row < 0) {
    row = static_cast<int>(std::min_element(best.begin(), best.end()) - best.begin());
  }
  std::vector<int> path(static_cast<std::size_t>(g.columns));
  for (int s = steps - 1; s >= 0; --s) {
    path[static_cast<std::size_t>((first + s) % g.columns)] = row;
    row = from[static_cast<std::size_t>(s) * rows + static_cast<std::size_t>(row)];
  }
  return path;
}

}  // namespace

std::vector<int> cheapest_closed_path(const std::vector<double>& cost, int columns, int rows,
                                      int reach, double stiffness) {
  const Lattice lattice{cost, columns, rows, reach, stiffness};
  const std::vector<int> open = path_from(lattice, 0, -1);
  const int middle = columns / 2;
  return path_from(lattice, middle, open[static_cast<std::size_t>(middle)]);
}

}  // namespace maturity
