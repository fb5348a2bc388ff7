#pragma once

#include <cmath>
#include <numbers>

#include "libmaturity/stats/random_stream.h"

namespace maturity::draws {

/// Standard normal by Box and Muller: the tests' own, the library draws none.
inline double normal(RandomStream& stream) {
  const double radius = std::sqrt(-2.0 * std::log(1.0 - stream.uniform()));
  return radius * std::cos(2.0 * std::numbers::pi * stream.uniform());
}

}  // namespace maturity::draws
