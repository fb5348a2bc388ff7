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

/// Numbers for the fruit of one photo. Tiles are given to fruit so that as many as possible find
/// one and the sum of their distances is least (not farther than the fruit's own height from its
/// outline; of two tiles with one number the nearer counts). Without any tile fruit are numbered
/// from 1 in reading order: rows from the top, where fruit share a row with its topmost one when
/// their centres differ by less than half the smaller height; left to right in a row. Beside tiles
/// the others are numbered on above the highest tile: a number that a tile was laid for, but could
/// not be read, is never given to another fruit.
std::vector<FruitNumber> number_fruit(const std::vector<FruitPlace>& fruit,
                                      const std::vector<NumberTile>& tiles);

}  // namespace maturity
