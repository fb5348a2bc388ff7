#include "libmaturity/descriptors/beak_prominence.h"

#include <limits>
#include <vector>

namespace maturity {

double measure_beak_prominence(const FramedOutline& outline, const std::optional<Beak>& beak,
                               EdgeGradient* gradient) {
  if (!beak) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  if (gradient != nullptr) {
    std::vector<RisePlace> places = beak->ends;
    for (const EdgeRise& place : beak->places) {
      places.push_back({place, place, 0.0});
    }
    add_highest(*gradient, outline, places, +1.0, 1.0);
  }
  return beak->height;
}

}  // namespace maturity
