#pragma once

#include <cstddef>
#include <random>

#include "tests/shapes/invented_fruit.h"

namespace maturity::shapes {

/// A second kind of invented fruit, with nothing of the first in its body: four cubic curves that
/// meet at the ends and at the widest place. Lengths over the length of the body. How full a
/// quarter is: the handle at its end over the half-width there (0.55 is an ellipse's).
struct CurvedParameters {
  double elongation = 1.35;
  double widest = 0.45;  ///< where, from the stem end: less on egg-like fruit
  double shoulder_ventral = 0.6;
  double shoulder_dorsal = 0.6;
  double nose = 0.53;
  double flank = 0.55;      ///< handle at the widest place, over the quarter's length
  double bow = 0.015;       ///< how far the two ends bend to the ventral side
  double stem_place = 0.0;  ///< arc beside the end
  /// Hollow, beak, sinus and waves.
  FruitParameters features;
};

InventedFruit invent_curved_fruit(const CurvedParameters& parameters, double length,
                                  std::size_t points, std::mt19937_64& random);

}  // namespace maturity::shapes
