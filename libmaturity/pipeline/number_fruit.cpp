#include "libmaturity/pipeline/number_fruit.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>
#include <tuple>

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

}  // namespace

std::vector<FruitNumber> number_fruit(const std::vector<FruitPlace>& fruit,
                                      const std::vector<NumberTile>& tiles) {
  std::vector<FruitNumber> numbers(fruit.size());
  std::vector<std::tuple<double, std::size_t, std::size_t>> pairs;
  for (std::size_t t = 0; t < tiles.size(); ++t) {
    for (std::size_t i = 0; i < fruit.size(); ++i) {
      const double away = distance_to_outline(fruit[i].outline, tiles[t].centre);
      if (away <= fruit[i].height) {
        pairs.emplace_back(away, t, i);
      }
    }
  }
  std::sort(pairs.begin(), pairs.end());
  std::set<int> used;
  for (const auto& [away, t, i] : pairs) {
    if (numbers[i].number == 0 && !used.contains(tiles[t].number)) {
      numbers[i] = {tiles[t].number, true};
      used.insert(tiles[t].number);
    }
  }
  int next = 1;
  for (const std::size_t i : reading_order(fruit)) {
    if (numbers[i].number == 0) {
      while (used.contains(next)) {
        ++next;
      }
      numbers[i].number = next++;
    }
  }
  return numbers;
}

}  // namespace maturity
