#include "libmaturity/outline/cyclic_path.h"

#include <algorithm>
#include <cstddef>
#include <limits>

namespace maturity {

namespace {

constexpr float kForbidden = 1e30F;

struct Lattice {
  const std::vector<float>& cost;
  int columns;
  int rows;
  int reach;
  float stiffness;

  float at(int column, int row) const {
    return cost[static_cast<std::size_t>(column) * static_cast<std::size_t>(rows) +
                static_cast<std::size_t>(row)];
  }
};

// Which change of row, counted from the least, is the cheapest way to a row; `source`: the column
// before, from the row that the least change comes from.
std::size_t cheapest_move(const float* source, const std::vector<float>& bend) {
  std::size_t best = 0;
  for (std::size_t k = 1; k < bend.size(); ++k) {
    best = source[k] + bend[k] < source[best] + bend[best] ? k : best;
  }
  return best;
}

// Path over columns first, first+1, ... (wrapping); fixed_row < 0: free ends.
std::vector<int> path_from(const Lattice& g, int first, int fixed_row) {
  const auto rows = static_cast<std::size_t>(g.rows);
  const auto steps = static_cast<std::size_t>(fixed_row < 0 ? g.columns : g.columns + 1);
  const auto reach = static_cast<std::size_t>(g.reach);
  const std::size_t moves = 2 * reach + 1;
  std::vector<float> bend(moves);
  for (std::size_t k = 0; k < moves; ++k) {
    const int change = static_cast<int>(k) - g.reach;
    bend[k] = g.stiffness * static_cast<float>(change * change);
  }
  // Cheapest way to every row of every step; beyond the rows there is no way.
  const std::size_t stride = rows + 2 * reach;
  std::vector<float> best(steps * stride, kForbidden);
  for (std::size_t r = 0; r < rows; ++r) {
    if (fixed_row < 0 || static_cast<int>(r) == fixed_row) {
      best[reach + r] = g.at(first, static_cast<int>(r));
    }
  }
  const auto column_of = [&](std::size_t s) {
    return (static_cast<std::size_t>(first) + s) % static_cast<std::size_t>(g.columns);
  };
  std::vector<float> least(rows);
  for (std::size_t s = 1; s < steps; ++s) {
    const float* here = &g.cost[column_of(s) * rows];
    const float* before = &best[(s - 1) * stride];
    float* now = &best[s * stride + reach];
    std::fill(least.begin(), least.end(), std::numeric_limits<float>::infinity());
    // All rows for one change of row at a time: without a branch the compiler takes several at
    // once. Which change it was is found again on the way back, for the rows of the path alone.
    for (std::size_t k = 0; k < moves; ++k) {
      const float* source = before + k;
      const float more = bend[k];
      for (std::size_t r = 0; r < rows; ++r) {
        const float value = source[r] + more;
        least[r] = value < least[r] ? value : least[r];
      }
    }
    for (std::size_t r = 0; r < rows; ++r) {
      now[r] = least[r] + here[r];
    }
  }
  std::size_t row = 0;
  if (fixed_row < 0) {
    const float* end = &best[(steps - 1) * stride + reach];
    row = static_cast<std::size_t>(std::min_element(end, end + rows) - end);
  } else {
    row = static_cast<std::size_t>(fixed_row);
  }
  std::vector<int> path(static_cast<std::size_t>(g.columns));
  for (std::size_t s = steps; s-- > 0;) {
    path[column_of(s)] = static_cast<int>(row);
    if (s == 0) {
      break;
    }
    row = row + cheapest_move(&best[(s - 1) * stride + row], bend) - reach;
  }
  return path;
}

}  // namespace

std::vector<int> cheapest_closed_path(const std::vector<float>& cost, int columns, int rows,
                                      int reach, float stiffness) {
  if (columns < 1 || rows < 1) {
    return {};
  }
  const Lattice lattice{cost, columns, rows, reach, stiffness};
  const std::vector<int> open = path_from(lattice, 0, -1);
  const int middle = columns / 2;
  return path_from(lattice, middle, open[static_cast<std::size_t>(middle)]);
}

}  // namespace maturity
