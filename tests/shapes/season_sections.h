#pragma once

#include <map>
#include <string>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity::shapes {

/// True widest section of a fruit of the rendered sample season, mm, in the fruit frame: stem at
/// (0, 0), nose at the greatest x, ventral +y; with its true traits.
struct SeasonFruit {
  Polygon section;
  std::map<std::string, double> traits;
};

std::vector<SeasonFruit> season_fruit();

}  // namespace maturity::shapes
