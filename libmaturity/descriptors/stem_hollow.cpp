#include "libmaturity/descriptors/stem_hollow.h"

#include <cmath>

#include "libmaturity/descriptors/edge_rise.h"

namespace maturity {

namespace {
constexpr RiseWindow kHollowWindow{0.11, 0.16, 0.31, 0.04};
/// Depth, in L, by which shoulders fuller by 1 flatten the end. From three kinds of invented fruit
/// (docs/method/shape.md); more tells the two apart better, on photos with more noise.
constexpr double kFlattening = 0.06;
/// Slide of the stem over which the change of depth is taken, in points.
constexpr std::ptrdiff_t kSlide = 2;
}  // namespace

double measure_stem_hollow(const FramedOutline& outline, const ShoulderFills& fills,
                           EdgeGradient* gradient) {
  const std::size_t stem = outline.stem;
  const EdgeRises rises(outline, kHollowWindow);
  const EdgeRise rise = rises.at(stem);
  // The stem lies between two points.
  const std::size_t beside = outline.stem_share < 0.0 ? outline.before(stem) : outline.next(stem);
  const double next = rises.at(beside).height;
  const bool known = std::isfinite(fills.mean());
  const double flattened = known ? kFlattening * (fills.mean() - kEllipseFill) : 0.0;
  if (gradient != nullptr) {
    rises.add(*gradient, rise, -1.0);
    const double change =
        rises.at(outline.at(stem, kSlide)).height - rises.at(outline.at(stem, -kSlide)).height;
    gradient->add_stem_slide(-change / (2.0 * static_cast<double>(kSlide) * outline.step()));
    if (known) {
      fills.add_mean(*gradient, -kFlattening);
    }
  }
  return -(rise.height + std::abs(outline.stem_share) * (next - rise.height)) - flattened;
}

}  // namespace maturity
