#include "libmaturity/descriptors/hull_depth.h"

namespace maturity {

void add_hull_depth(EdgeGradient* gradient, const FramedOutline& outline, const HullDepth& depth,
                    double factor) {
  if (gradient == nullptr || !(depth.depth > 0.0)) {
    return;
  }
  const Point& a = outline.points[depth.from];
  const Point side = outline.points[depth.to] - a;
  const double length = side.norm();
  const Point outward(side.y() / length, -side.x() / length);
  const double share = (outline.points[depth.point] - a).dot(side) / (length * length);
  gradient->add(depth.from, factor * (1.0 - share) * outward);
  gradient->add(depth.to, factor * share * outward);
  gradient->add(depth.point, -factor * outward);
}

}  // namespace maturity
