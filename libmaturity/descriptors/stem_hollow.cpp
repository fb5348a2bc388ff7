#include "libmaturity/descriptors/stem_hollow.h"

#include "libmaturity/descriptors/hull_depth.h"

namespace maturity {

namespace {
/// How far from the proximal end and from the stem point a hollow still belongs to the stem, in L.
constexpr double kReach = 0.2;
}  // namespace

double measure_stem_hollow(const FramedOutline& outline, EdgeGradient* gradient) {
  const Point& stem = outline.points[outline.stem];
  const double reach = kReach * outline.length;
  const HullDepth hollow = deepest_below(outline, outline.hull, [&](std::size_t i) {
    return outline.along(i) < kReach && (outline.points[i] - stem).norm() < reach;
  });
  const double value = hollow.depth / outline.length;
  add_hull_depth(gradient, outline, hollow, 1.0 / outline.length);
  add_length(gradient, outline, -value / outline.length);
  return value;
}

}  // namespace maturity
