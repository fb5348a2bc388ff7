#pragma once

#include <map>
#include <string>
#include <vector>

#include "libmaturity/calibration/meter_fit.h"

namespace maturity {

/// Oven and meter of one block: means, and squares and products about them.
struct MeterMoments {
  int pairs = 0;
  double oven_mean = 0.0;
  double meter_mean = 0.0;
  double oven_squares = 0.0;
  double meter_squares = 0.0;
  double both = 0.0;

  /// Adds the squares and products of another block, each about its own means.
  void add(const MeterMoments& other);
};

/// By block; pairs with a NaN are left out.
std::map<std::string, MeterMoments> meter_moments(const MeterPairs& pairs,
                                                  const std::vector<std::string>& block);

}  // namespace maturity
