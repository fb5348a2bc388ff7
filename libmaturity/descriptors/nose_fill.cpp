#include "libmaturity/descriptors/nose_fill.h"

#include "libmaturity/descriptors/area_between.h"
#include "libmaturity/descriptors/half_ellipse.h"

namespace maturity {

namespace {

constexpr Slice kTip{0.925, 1.0};
constexpr Slice kBehindTip{0.60, 0.70};

/// Area of an ellipse's tip over that of the slice behind it.
double tip_of_ellipse() {
  static const double ratio = half_ellipse(kTip).area / half_ellipse(kBehindTip).area;
  return ratio;
}

}  // namespace

double measure_nose_fill(const FramedOutline& outline, EdgeGradient* gradient) {
  const double tip = slice_area(outline, kTip, +1) + slice_area(outline, kTip, -1);
  const double behind = slice_area(outline, kBehindTip, +1) + slice_area(outline, kBehindTip, -1);
  const double factor = kEllipseFill / (tip_of_ellipse() * behind);
  if (gradient != nullptr) {
    for (const int side : {+1, -1}) {
      add_slice_area(*gradient, outline, kTip, side, factor);
      add_slice_area(*gradient, outline, kBehindTip, side, -factor * tip / behind);
    }
  }
  return factor * tip;
}

}  // namespace maturity
