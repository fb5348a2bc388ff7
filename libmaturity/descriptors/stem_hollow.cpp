#include "libmaturity/descriptors/stem_hollow.h"

#include <cmath>

#include "libmaturity/descriptors/edge_rise.h"

namespace maturity {

namespace {
constexpr RiseWindow kHollowWindow{0.05, 0.14, 0.32};
/// Slide of the stem over which the change of depth is taken, in points.
constexpr std::ptrdiff_t kSlide = 2;
}  // namespace

double measure_stem_hollow(const FramedOutline& outline, EdgeGradient* gradient) {
  const std::size_t stem = outline.stem;
  const EdgeRises rises(outline, kHollowWindow);
  const EdgeRise rise = rises.at(stem);
  // The stem lies between two points.
  const std::size_t beside = outline.stem_share < 0.0 ? outline.before(stem) : outline.next(stem);
  const double next = rises.at(beside).height;
  if (gradient != nullptr) {
    add_rise(*gradient, outline, rise, -1.0);
    const double change =
        rises.at(outline.at(stem, kSlide)).height - rises.at(outline.at(stem, -kSlide)).height;
    gradient->add_stem_slide(-change / (2.0 * static_cast<double>(kSlide) * outline.step()));
  }
  return -(rise.height + std::abs(outline.stem_share) * (next - rise.height));
}

}  // namespace maturity
