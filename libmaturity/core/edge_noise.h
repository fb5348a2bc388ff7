#pragma once

#include <cmath>
#include <cstddef>
#include <vector>

namespace maturity {

/// Errors of an edge across its own direction: normal, of standard deviation `sd`, two points s
/// apart along the edge correlated exp(-s^2 / (2 correlation_length^2)). Lengths in the outline's
/// unit.
struct EdgeNoise {
  double sd = 0.0;
  double correlation_length = 1.0;

  double variance() const { return sd * sd; }
  /// Covariance of the errors at two places that far apart along the edge.
  double covariance(double apart) const {
    const double s = apart / correlation_length;
    return variance() * std::exp(-0.5 * s * s);
  }
  /// Covariances of points 0, 1, ... steps apart, up to where nothing is left of them; at most
  /// `most` + 1.
  std::vector<double> covariances(double step, std::size_t most) const {
    constexpr double kNothing = 4.0;
    std::vector<double> values;
    for (std::size_t k = 0; k <= most; ++k) {
      const double apart = static_cast<double>(k) * step;
      if (k > 0 && apart > kNothing * correlation_length) {
        break;
      }
      values.push_back(covariance(apart));
    }
    return values;
  }
};

}  // namespace maturity
