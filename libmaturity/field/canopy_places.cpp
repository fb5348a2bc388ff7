#include "libmaturity/field/canopy_places.h"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <string>

#include "libmaturity/stats/random_stream.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr int kSides = 4;
constexpr int kHeights = 3;

}  // namespace

CanopyPlace canopy_place(int fruit, int start) {
  if (fruit < 0 || start < 0) {
    reject_argument("fruit, start", std::min(fruit, start), "at least 0");
  }
  // 4 and 3 share no divisor: twelve fruit in a row see every side at every height once.
  const int turn = fruit % (kSides * kHeights) + start % (kSides * kHeights);
  return {turn % kSides, turn % kHeights};
}

std::vector<std::vector<int>> draw_dried_fruit(int trees, int fruit, int dried,
                                               std::uint64_t seed) {
  if (trees < 0) {
    reject_argument("trees", trees, "at least 0");
  }
  if (fruit < 1) {
    reject_argument("fruit", fruit, "at least 1 of each tree");
  }
  if (dried < 0 || dried > fruit) {
    reject_argument("dried", dried, "0 to " + std::to_string(fruit) + ", the fruit of a tree");
  }
  RandomStream stream(seed);
  std::vector<std::vector<int>> drawn;
  for (int tree = 0; tree < trees; ++tree) {
    std::vector<int> left(static_cast<std::size_t>(fruit));
    std::iota(left.begin(), left.end(), 0);
    std::vector<int> chosen;
    for (int i = 0; i < dried; ++i) {
      const std::size_t at = stream.below(left.size());
      chosen.push_back(left[at]);
      left.erase(left.begin() + static_cast<std::ptrdiff_t>(at));
    }
    std::sort(chosen.begin(), chosen.end());
    drawn.push_back(chosen);
  }
  return drawn;
}

}  // namespace maturity
