#include "libmaturity/field/walk_route.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_route(const std::vector<RowTree>& trees, const std::vector<std::size_t>& stops) {
  for (std::size_t i = 0; i < trees.size(); ++i) {
    if (trees[i].row < 0 || !std::isfinite(trees[i].along_m) || !std::isfinite(trees[i].across_m)) {
      reject_argument("tree " + std::to_string(i), "row " + std::to_string(trees[i].row),
                      "rows from 0 and finite places, m");
    }
  }
  std::set<std::size_t> seen;
  for (const std::size_t stop : stops) {
    if (stop >= trees.size() || !seen.insert(stop).second) {
      reject_argument("stops", stop, "indices of trees, each once");
    }
  }
}

}  // namespace

WalkRoute serpentine_route(const std::vector<RowTree>& trees,
                           const std::vector<std::size_t>& stops) {
  check_route(trees, stops);
  const auto before = [&](std::size_t one, std::size_t other) {
    const double here = trees[one].along_m;
    const double there = trees[other].along_m;
    return here < there || (here == there && one < other);
  };
  std::map<int, std::vector<std::size_t>> all;
  std::map<int, std::vector<std::size_t>> wanted;
  for (std::size_t i = 0; i < trees.size(); ++i) {
    all[trees[i].row].push_back(i);
  }
  for (const std::size_t stop : stops) {
    wanted[trees[stop].row].push_back(stop);
  }

  WalkRoute route;
  bool upwards = true;
  for (auto& [row, here] : wanted) {
    const bool is_last = row == wanted.rbegin()->first;
    const auto [low, high] = std::minmax_element(all[row].begin(), all[row].end(), before);
    std::sort(here.begin(), here.end(), before);
    if (!upwards) {
      std::reverse(here.begin(), here.end());
    }
    route.order.insert(route.order.end(), here.begin(), here.end());
    route.path.push_back(upwards ? *low : *high);
    route.path.insert(route.path.end(), here.begin(), here.end());
    if (!is_last) {
      route.path.push_back(upwards ? *high : *low);
    }
    upwards = !upwards;
  }
  // A stop at the end of a row is one place, not two.
  route.path.erase(std::unique(route.path.begin(), route.path.end()), route.path.end());
  for (std::size_t i = 1; i < route.path.size(); ++i) {
    const RowTree& from = trees[route.path[i - 1]];
    const RowTree& to = trees[route.path[i]];
    route.length_m += std::hypot(to.along_m - from.along_m, to.across_m - from.across_m);
  }
  return route;
}

}  // namespace maturity
