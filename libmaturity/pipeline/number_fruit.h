#pragma once

#include <optional>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Where a fruit lies, in the frame in which a person reads the board: x right, y down (board mm
/// turned so, else upright pixels).
struct FruitPlace {
  Point centre = Point::Zero();
  double height = 0.0;
  Polygon outline;
};

/// A number tile: the number printed on it and its centre, same frame.
struct NumberTile {
  int number = 0;
  Point centre = Point::Zero();
};

struct FruitNumber {
  int number = 0;
  bool by_tile = false;
};

/// Marker ids from here on are number tiles; the tile of fruit n carries id kFirstTileId + n - 1.
inline constexpr int kFirstTileId = 10;

/// Numbers for the fruit of one photo. A tile gives its number to the nearest fruit (each fruit and
/// each number once, nearest pairs first, not farther than the fruit's own height from its
/// outline). The others are numbered on in reading order: rows from the top, where fruit share a
/// row with its topmost one when their centres differ by less than half the smaller height; left to
/// right in a row; with the numbers that no tile took, from 1.
std::vector<FruitNumber> number_fruit(const std::vector<FruitPlace>& fruit,
                                      const std::vector<NumberTile>& tiles);

}  // namespace maturity
