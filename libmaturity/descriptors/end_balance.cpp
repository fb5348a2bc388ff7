#include "libmaturity/descriptors/end_balance.h"

#include "libmaturity/descriptors/area_between.h"

namespace maturity {

namespace {

/// A fifth of the length is left out at either end.
constexpr Slice kStemHalf{0.2, 0.5};
constexpr Slice kNoseHalf{0.5, 0.8};

}  // namespace

double measure_end_balance(const FramedOutline& outline, EdgeGradient* gradient) {
  double difference = 0.0;
  for (const int side : {+1, -1}) {
    difference += slice_area(outline, kStemHalf, side) - slice_area(outline, kNoseHalf, side);
  }
  if (gradient != nullptr) {
    const double factor = 1.0 / outline.area;
    for (const int side : {+1, -1}) {
      add_slice_area(*gradient, outline, kStemHalf, side, factor);
      add_slice_area(*gradient, outline, kNoseHalf, side, -factor);
    }
    add_area(gradient, outline, -difference * factor * factor);
  }
  return difference / outline.area;
}

}  // namespace maturity
