#pragma once

#include <cstddef>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "tests/shapes/curved_fruit.h"
#include "tests/shapes/invented_fruit.h"

namespace maturity::shapes {

/// A fruit of one cultivar (traits free, each by itself, the rest within narrow limits) with
/// everything it was drawn from: the traits that descriptors are named after (hollow,
/// shoulder_ventral, shoulder_dorsal, nose, beak, sinus, taper, elongation) and the rest.
struct TraitFruit {
  InventedFruit fruit;
  std::map<std::string, double> traits;
};

/// Body of superellipses.
TraitFruit superellipse_fruit(std::mt19937_64& random);
/// Another body, of cubic curves; the same features. Taper: how far the widest place lies from the
/// nose, with the sign turned.
TraitFruit curved_fruit(std::mt19937_64& random);

using Invent = TraitFruit (*)(std::mt19937_64&);

std::vector<TraitFruit> many_fruit(Invent invent, std::size_t count,
                                   std::mt19937_64::result_type seed);

}  // namespace maturity::shapes
