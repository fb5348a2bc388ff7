#include "libmaturity/pipeline/number_fruit.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <tuple>
#include <utility>

namespace maturity {

namespace {

std::vector<std::size_t> reading_order(const std::vector<FruitPlace>& fruit) {
  std::vector<std::size_t> left(fruit.size());
  std::iota(left.begin(), left.end(), std::size_t{0});
  std::sort(left.begin(), left.end(), [&](std::size_t a, std::size_t b) {
    return std::make_tuple(fruit[a].centre.y(), fruit[a].centre.x()) <
           std::make_tuple(fruit[b].centre.y(), fruit[b].centre.x());
  });
  std::vector<std::size_t> order;
  while (!left.empty()) {
    const FruitPlace& top = fruit[left.front()];
    std::vector<std::size_t> row;
    std::vector<std::size_t> rest;
    for (const std::size_t i : left) {
      const double apart = std::abs(fruit[i].centre.y() - top.centre.y());
      (apart < 0.5 * std::min(fruit[i].height, top.height) || i == left.front() ? row : rest)
          .push_back(i);
    }
    std::sort(row.begin(), row.end(), [&](std::size_t a, std::size_t b) {
      return fruit[a].centre.x() < fruit[b].centre.x();
    });
    order.insert(order.end(), row.begin(), row.end());
    left = rest;
  }
  return order;
}

constexpr double kTooFar = 1e9;  // dearer than any sum of distances that are allowed

// Distance of every tile (row) from every fruit (column), kTooFar where it cannot belong to it.
Eigen::MatrixXd distances(const std::vector<FruitPlace>& fruit,
                          const std::vector<NumberTile>& tiles) {
  Eigen::MatrixXd cost(static_cast<Eigen::Index>(tiles.size()),
                       static_cast<Eigen::Index>(fruit.size()));
  for (std::size_t t = 0; t < tiles.size(); ++t) {
    for (std::size_t i = 0; i < fruit.size(); ++i) {
      const double away = distance_to_outline(fruit[i].outline, tiles[t].centre);
      cost(static_cast<Eigen::Index>(t), static_cast<Eigen::Index>(i)) =
          away <= fruit[i].height ? away : kTooFar;
    }
  }
  return cost;
}

// Column for every row so that the sum of the costs is least; rows <= columns. The assignment
// method of Kuhn (1955) and Munkres (1957) with row and column prices, shortest augmenting paths;
// from memory, tested against all permutations.
std::vector<Eigen::Index> cheapest_assignment(const Eigen::MatrixXd& cost) {
  const Eigen::Index rows = cost.rows();
  const Eigen::Index columns = cost.cols();
  constexpr Eigen::Index kNone = -1;
  Eigen::VectorXd row_price = Eigen::VectorXd::Zero(rows);
  Eigen::VectorXd column_price = Eigen::VectorXd::Zero(columns);
  std::vector<Eigen::Index> row_of(static_cast<std::size_t>(columns), kNone);
  for (Eigen::Index start = 0; start < rows; ++start) {
    const auto n = static_cast<std::size_t>(columns);
    std::vector<double> least(n, std::numeric_limits<double>::infinity());
    std::vector<Eigen::Index> came_from(n, kNone);
    std::vector<bool> done(n, false);
    Eigen::Index row = start;
    Eigen::Index column = kNone;
    while (row != kNone) {
      const Eigen::Index before = column;
      double step = std::numeric_limits<double>::infinity();
      Eigen::Index next = kNone;
      for (Eigen::Index j = 0; j < columns; ++j) {
        const auto k = static_cast<std::size_t>(j);
        if (done[k]) {
          continue;
        }
        const double reduced = cost(row, j) - row_price(row) - column_price(j);
        if (reduced < least[k]) {
          least[k] = reduced;
          came_from[k] = before;
        }
        if (least[k] < step) {
          step = least[k];
          next = j;
        }
      }
      row_price(start) += step;
      for (Eigen::Index j = 0; j < columns; ++j) {
        const auto k = static_cast<std::size_t>(j);
        if (done[k]) {
          row_price(row_of[k]) += step;
          column_price(j) -= step;
        } else {
          least[k] -= step;
        }
      }
      column = next;
      done[static_cast<std::size_t>(column)] = true;
      row = row_of[static_cast<std::size_t>(column)];
    }
    while (column != kNone) {
      const Eigen::Index before = came_from[static_cast<std::size_t>(column)];
      row_of[static_cast<std::size_t>(column)] =
          before == kNone ? start : row_of[static_cast<std::size_t>(before)];
      column = before;
    }
  }
  std::vector<Eigen::Index> column_of(static_cast<std::size_t>(rows), kNone);
  for (std::size_t j = 0; j < row_of.size(); ++j) {
    if (row_of[j] != kNone) {
      column_of[static_cast<std::size_t>(row_of[j])] = static_cast<Eigen::Index>(j);
    }
  }
  return column_of;
}

// Of tiles that carry one number, the nearest to any fruit.
std::vector<NumberTile> one_tile_a_number(const std::vector<FruitPlace>& fruit,
                                          const std::vector<NumberTile>& tiles) {
  std::map<int, std::pair<double, NumberTile>> nearest;
  for (const NumberTile& tile : tiles) {
    double away = std::numeric_limits<double>::infinity();
    for (const FruitPlace& f : fruit) {
      away = std::min(away, distance_to_outline(f.outline, tile.centre));
    }
    const auto found = nearest.find(tile.number);
    if (found == nearest.end() || away < found->second.first) {
      nearest[tile.number] = {away, tile};
    }
  }
  std::vector<NumberTile> result;
  result.reserve(nearest.size());
  for (const auto& entry : nearest) {
    result.push_back(entry.second.second);
  }
  return result;
}

}  // namespace

std::vector<FruitNumber> number_fruit(const std::vector<FruitPlace>& fruit,
                                      const std::vector<NumberTile>& tiles) {
  std::vector<FruitNumber> numbers(fruit.size());
  int highest = 0;
  for (const NumberTile& tile : tiles) {
    highest = std::max(highest, tile.number);
  }
  if (!fruit.empty() && !tiles.empty()) {
    const std::vector<NumberTile> own = one_tile_a_number(fruit, tiles);
    const Eigen::MatrixXd cost = distances(fruit, own);
    const bool tiles_in_rows = cost.rows() <= cost.cols();
    const std::vector<Eigen::Index> partner =
        cheapest_assignment(tiles_in_rows ? cost : Eigen::MatrixXd(cost.transpose()));
    for (std::size_t k = 0; k < partner.size(); ++k) {
      const auto other = static_cast<std::size_t>(partner[k]);
      const std::size_t t = tiles_in_rows ? k : other;
      const std::size_t i = tiles_in_rows ? other : k;
      if (cost(static_cast<Eigen::Index>(t), static_cast<Eigen::Index>(i)) < kTooFar) {
        numbers[i] = {own[t].number, true};
      }
    }
  }
  int next = highest + 1;
  for (const std::size_t i : reading_order(fruit)) {
    if (numbers[i].number == 0) {
      numbers[i].number = next++;
    }
  }
  return numbers;
}

}  // namespace maturity
