#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "libmaturity/descriptors/framed_outline.h"

namespace maturity {

enum class Extreme : std::size_t { proximal, distal, ventral, dorsal };

/// The four outermost places of an outline as edge errors leave them: not one point, but all that
/// come near enough to be the outermost one.
class EdgeExtents {
 public:
  struct Share {
    std::size_t point = 0;
    double chance = 0.0;
  };

  /// `covariance`: of the edge errors of points 0, 1, ... steps apart, 0 beyond.
  EdgeExtents(const FramedOutline& outline, std::span<const double> covariance);

  const std::vector<Share>& shares(Extreme side) const {
    return shares_[static_cast<std::size_t>(side)];
  }
  /// Variance beyond that of the mean of those points, per square of a factor.
  double scatter(Extreme side) const { return scatter_[static_cast<std::size_t>(side)]; }

 private:
  std::array<std::vector<Share>, 4> shares_;
  std::array<double, 4> scatter_{};
};

/// Outward direction of an extreme in the fruit frame.
Point outward(Extreme side);

}  // namespace maturity
