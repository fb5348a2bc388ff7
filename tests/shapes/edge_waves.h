#pragma once

#include <cstddef>
#include <random>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity::shapes {

/// Draws of edge errors for one outline: waves of random phase along the closed line, their powers
/// the Fourier coefficients of the correlation exp(-s^2 / (2 length^2)): an independent way to draw
/// what standard errors are computed for. The waves are worked out once for all draws.
class EdgeWaves {
 public:
  EdgeWaves(const Polygon& outline, double correlation_length);

  /// The outline with every point moved across the edge.
  Polygon draw(double sd, std::mt19937_64& random) const;

 private:
  struct Wave {
    double root_power = 0.0;
    /// Its cosine and sine at each point; a constant has no sine.
    std::vector<double> cosine;
    std::vector<double> sine;
  };

  const Polygon& outline_;
  Polygon normals_;
  std::vector<Wave> waves_;
};

}  // namespace maturity::shapes
