#include "libmaturity/outline/oblique_view.h"

#include <cmath>

#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr double kSteep = 0.75;         // |y| of a normal that counts as up or down
constexpr double kDarkerInside = -0.5;  // log light, bottom against top
constexpr double kDarkerOutside = -0.8;

struct UpDown {
  double down = 0.0;
  double up = 0.0;
  int downs = 0;
  int ups = 0;

  double difference() const { return downs > 0 && ups > 0 ? down / downs - up / ups : 0.0; }
};

}  // namespace

bool may_be_seen_from_the_side(const Photo& photo, const Polygon& outline, double unit_px) {
  const std::size_t n = outline.size();
  const double sign = signed_area(outline) > 0.0 ? 1.0 : -1.0;
  UpDown inside;
  UpDown outside;
  const auto read = [&](UpDown& sum, const Point& at, double direction) {
    const double light = std::log(sample_light(photo, at) + 0.01);
    if (direction > 0.0) {
      sum.down += light;
      ++sum.downs;
    } else {
      sum.up += light;
      ++sum.ups;
    }
  };
  for (std::size_t i = 0; i < n; ++i) {
    const Point d = outline[(i + 3) % n] - outline[(i + n - 3) % n];
    const Point outward = sign * Point(d.y(), -d.x()).normalized();
    if (std::abs(outward.y()) < kSteep) {
      continue;
    }
    for (const double reach : {1.5, 2.2, 3.0}) {
      read(inside, outline[i] - reach * unit_px * outward, outward.y());
    }
    for (const double reach : {1.0, 1.5, 2.0}) {
      read(outside, outline[i] + reach * unit_px * outward, outward.y());
    }
  }
  return inside.difference() < kDarkerInside && outside.difference() < kDarkerOutside;
}

}  // namespace maturity
