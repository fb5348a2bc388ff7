#include "libmaturity/core/simple_hull.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace maturity {

std::vector<std::size_t> simple_polygon_hull(const Polygon& polygon) {
  const std::size_t n = polygon.size();
  std::vector<std::size_t> hull(n);
  if (n < 3) {
    std::iota(hull.begin(), hull.end(), std::size_t{0});
    return hull;
  }
  const auto left_of = [&](std::size_t a, std::size_t b, std::size_t c) {
    const Point u = polygon[b] - polygon[a];
    const Point v = polygon[c] - polygon[a];
    return u.x() * v.y() - u.y() * v.x();
  };
  // A double-ended queue in a flat array: bottom and top hold the same, latest, corner.
  std::vector<std::size_t> deque(2 * n + 1);
  std::size_t bottom = n;
  std::size_t top = n;
  std::size_t i = 2;
  // Straight sides cut into pieces are straight only to rounding: less than this counts as
  // straight.
  constexpr double kStraight = 1e-12;
  double extent = 0.0;
  for (const Point& p : polygon) {
    extent = std::max(extent, (p - polygon[0]).squaredNorm());
  }
  const double straight = kStraight * extent;
  // The first three points that are not on one line.
  while (i < n && std::abs(left_of(0, i - 1, i)) <= straight) {
    ++i;
  }
  if (i == n) {
    return {0, n - 1};
  }
  deque[bottom] = i;
  if (left_of(0, i - 1, i) > 0.0) {
    deque[++top] = 0;
    deque[++top] = i - 1;
  } else {
    deque[++top] = i - 1;
    deque[++top] = 0;
  }
  deque[++top] = i;
  for (++i; i < n; ++i) {
    if (left_of(deque[top - 1], deque[top], i) > -straight &&
        left_of(deque[bottom], deque[bottom + 1], i) > -straight) {
      continue;
    }
    while (top > bottom + 1 && left_of(deque[top - 1], deque[top], i) <= straight) {
      --top;
    }
    deque[++top] = i;
    while (top > bottom + 1 && left_of(i, deque[bottom], deque[bottom + 1]) <= straight) {
      ++bottom;
    }
    deque[--bottom] = i;
  }
  hull.assign(deque.begin() + static_cast<std::ptrdiff_t>(bottom),
              deque.begin() + static_cast<std::ptrdiff_t>(top));
  // The corners come in order along the line, from some start and in either direction.
  std::rotate(hull.begin(), std::min_element(hull.begin(), hull.end()), hull.end());
  if (hull.size() > 2 && hull[1] > hull[2]) {
    std::reverse(hull.begin() + 1, hull.end());
  }
  return hull;
}

}  // namespace maturity
