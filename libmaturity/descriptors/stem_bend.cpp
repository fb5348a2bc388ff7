#include "libmaturity/descriptors/stem_bend.h"

#include "libmaturity/descriptors/circle_fit.h"

namespace maturity {

namespace {
/// Arc to each side of the stem that the circle is fitted to, in L.
constexpr double kStemFitReach = 0.12;
}  // namespace

double measure_stem_bend(const FramedOutline& outline, EdgeGradient* gradient) {
  const double reach = kStemFitReach * outline.length;
  const CircleFit fit = fit_circle_between(outline, outline.stem, outline.stem_share, reach);
  if (gradient != nullptr) {
    add_circle_fit(*gradient, outline, fit, outline.length);
    gradient->add_stem_slide(outline.length * circle_fit_slope(outline, fit, reach));
    add_length(gradient, outline, fit.curvature);
  }
  return fit.curvature * outline.length;
}

}  // namespace maturity
