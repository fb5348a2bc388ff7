#include "libmaturity/field/walk_route.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr int kSides = 4;
constexpr int kHeights = 3;

void check(const std::vector<WalkStop>& stops, const RowLayout& layout) {
  if (layout.trees_per_row < 1) {
    reject_argument("trees_per_row", layout.trees_per_row, "at least 1");
  }
  if (!(layout.row_spacing_m >= 0.0) || !(layout.tree_spacing_m >= 0.0)) {
    reject_argument("spacing", std::min(layout.row_spacing_m, layout.tree_spacing_m),
                    "at least 0 m");
  }
  for (std::size_t i = 0; i < stops.size(); ++i) {
    if (stops[i].row < 1 || stops[i].tree < 1 || stops[i].tree > layout.trees_per_row) {
      reject_argument(
          "stop " + std::to_string(i + 1),
          "row " + std::to_string(stops[i].row) + ", tree " + std::to_string(stops[i].tree),
          "rows from 1, trees 1 to " + std::to_string(layout.trees_per_row));
    }
  }
}

}  // namespace

WalkRoute serpentine_route(const std::vector<WalkStop>& stops, const RowLayout& layout) {
  check(stops, layout);
  WalkRoute route;
  route.order.resize(stops.size());
  std::iota(route.order.begin(), route.order.end(), std::size_t{0});
  std::stable_sort(route.order.begin(), route.order.end(), [&](std::size_t one, std::size_t other) {
    return stops[one].row < stops[other].row ||
           (stops[one].row == stops[other].row && stops[one].tree < stops[other].tree);
  });
  const double row_length = (layout.trees_per_row - 1) * layout.tree_spacing_m;
  bool upwards = true;
  auto begin = route.order.begin();
  while (begin != route.order.end()) {
    const int row = stops[*begin].row;
    const auto end = std::find_if(begin, route.order.end(),
                                  [&](std::size_t each) { return stops[each].row != row; });
    if (!upwards) {
      std::reverse(begin, end);
    }
    const WalkStop& last = stops[*(end - 1)];
    if (end == route.order.end()) {
      const int walked = upwards ? last.tree - 1 : layout.trees_per_row - last.tree;
      route.length_m += walked * layout.tree_spacing_m;
    } else {
      route.length_m += row_length + (stops[*end].row - row) * layout.row_spacing_m;
    }
    upwards = !upwards;
    begin = end;
  }
  return route;
}

CanopyPlace canopy_place(int fruit, int start) {
  if (fruit < 0 || start < 0) {
    reject_argument("fruit, start", std::min(fruit, start), "at least 0");
  }
  // 4 and 3 share no divisor: twelve fruit in a row see every side at every height once.
  const int turn = (fruit % (kSides * kHeights) + start % (kSides * kHeights));
  return {turn % kSides, turn % kHeights};
}

}  // namespace maturity
