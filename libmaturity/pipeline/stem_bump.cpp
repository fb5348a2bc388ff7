#include "libmaturity/pipeline/stem_bump.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "libmaturity/core/nearest_point.h"
#include "libmaturity/outline/stem_stub.h"

namespace maturity {

bool take_off_stem_bump(Polygon& outline, const Point& stem, double length) {
  constexpr double kReach = 0.075;
  constexpr double kLeastHeight = 0.002;
  const std::size_t n = outline.size();
  const std::size_t middle = nearest_point(outline, stem);
  const double step = perimeter(outline) / static_cast<double>(n);
  const auto reach = static_cast<std::size_t>(std::lround(kReach * length / step));
  if (reach < 2 || 6 * reach > n) {
    return false;
  }
  Polygon bridged = outline;
  bridge(bridged, {(middle + n - reach) % n, 2 * reach + 1, 0.0, 0.0}, 0);
  const auto height = [&](std::size_t i) {
    return contains(bridged, outline[i]) ? 0.0 : distance_to_outline(bridged, outline[i]);
  };
  double most = 0.0;
  for (std::size_t k = 0; k <= 2 * reach; ++k) {
    most = std::max(most, height((middle + n - reach + k) % n));
  }
  // Where the two sides stand out and not the middle, they are the rim of a hollow.
  if (most < kLeastHeight * length || height(middle) < 0.5 * most) {
    return false;
  }
  outline = std::move(bridged);
  return true;
}

}  // namespace maturity
