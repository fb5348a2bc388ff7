#pragma once

#include <cstdint>
#include <vector>

namespace maturity {

/// Where in the canopy a fruit is taken.
struct CanopyPlace {
  /// 0..3: facing the walker, ahead, the far side, behind.
  int side = 0;
  /// 0..2: low, middle, high.
  int height = 0;
};

/// Place of the n-th fruit of a walk (from 0): sides and heights in turn, so that no one picks the
/// prettiest; twelve fruit in a row see every side at every height once. Turns from a start that
/// the seed of the walk gives. Throws std::invalid_argument for negative numbers.
CanopyPlace canopy_place(int fruit, int start);

/// Which fruit (0..fruit-1) of each tree go into the oven, drawn blind: every fruit with the same
/// chance, `dried` of each tree, ascending. Same seed, same fruit. Throws std::invalid_argument for
/// trees < 0, fruit < 1, dried outside 0..fruit.
std::vector<std::vector<int>> draw_dried_fruit(int trees, int fruit, int dried, std::uint64_t seed);

}  // namespace maturity
