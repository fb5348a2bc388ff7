#include "libmaturity/descriptors/shoulder_fill.h"

#include <limits>

#include "libmaturity/descriptors/area_between.h"
#include "libmaturity/descriptors/half_ellipse.h"

namespace maturity {

namespace {

constexpr Slice kShoulder{0.10, 0.25};
constexpr Slice kNearFlank{0.32, 0.46};
constexpr Slice kFarFlank{0.46, 0.60};

/// Below this share of what the near flank alone lets expect, the egg has as good as ended.
constexpr double kLeastEgg = 0.2;

/// The area that the egg through the flank has over the shoulder: near and far flank, each times
/// its share.
struct EggShares {
  double near = 0.0;
  double far = 0.0;
  /// Area over the shoulder of an ellipse with near flank 1.
  double of_ellipse = 0.0;
};

EggShares egg_shares() {
  const HalfEllipse shoulder = half_ellipse(kShoulder);
  const HalfEllipse near = half_ellipse(kNearFlank);
  const HalfEllipse far = half_ellipse(kFarFlank);
  const double determinant = near.area * far.moment - near.moment * far.area;
  return {(shoulder.area * far.moment - shoulder.moment * far.area) / determinant,
          (near.area * shoulder.moment - near.moment * shoulder.area) / determinant,
          shoulder.area / near.area};
}

const EggShares& egg() {
  static const EggShares shares = egg_shares();
  return shares;
}

}  // namespace

ShoulderFills::ShoulderFills(const FramedOutline& outline) : outline_(outline) {
  for (const int side : {+1, -1}) {
    Side& one = sides_[side > 0 ? 0 : 1];
    const double near = slice_area(outline, kNearFlank, side);
    one.egg = egg().near * near + egg().far * slice_area(outline, kFarFlank, side);
    one.fill = one.egg > kLeastEgg * egg().of_ellipse * near
                   ? kEllipseFill * slice_area(outline, kShoulder, side) / one.egg
                   : std::numeric_limits<double>::quiet_NaN();
  }
}

void ShoulderFills::add(EdgeGradient& gradient, int side, double factor) const {
  std::optional<EdgeSlopes>& known = slopes_[side > 0 ? 0 : 1];
  if (!known) {
    EdgeSlopes before = gradient.slopes();
    add_once(gradient, side);
    known = gradient.slopes();
    known->add(before, -1.0);
    factor -= 1.0;
  }
  gradient.add(*known, factor);
}

void ShoulderFills::add_once(EdgeGradient& gradient, int side) const {
  const Side& one = sides_[side > 0 ? 0 : 1];
  const double by_egg = -one.fill / one.egg;
  add_slice_area(gradient, outline_, kShoulder, side, kEllipseFill / one.egg);
  add_slice_area(gradient, outline_, kNearFlank, side, by_egg * egg().near);
  add_slice_area(gradient, outline_, kFarFlank, side, by_egg * egg().far);
}

void ShoulderFills::add_mean(EdgeGradient& gradient, double factor) const {
  add(gradient, +1, 0.5 * factor);
  add(gradient, -1, 0.5 * factor);
}

}  // namespace maturity
