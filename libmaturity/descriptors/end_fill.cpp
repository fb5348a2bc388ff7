#include "libmaturity/descriptors/end_fill.h"

#include <cmath>
#include <limits>

#include "libmaturity/descriptors/area_between.h"

namespace maturity {

namespace {

constexpr Slice kShoulder{0.10, 0.25};
constexpr Slice kNearFlank{0.32, 0.46};
constexpr Slice kFarFlank{0.46, 0.60};
constexpr Slice kTip{0.925, 1.0};
constexpr Slice kBehindTip{0.60, 0.70};

/// Below this share of what the near flank alone lets expect, the egg has as good as ended.
constexpr double kLeastEgg = 0.2;

/// Area of a slice of half an ellipse of length and half-width 1, and its moment about the middle.
struct HalfEllipse {
  double area = 0.0;
  double moment = 0.0;
};

HalfEllipse half_ellipse(const Slice& slice) {
  // Integrals of sqrt(1 - u^2) and u sqrt(1 - u^2), u from -1 to 1 along the axis.
  const auto area = [](double share) {
    const double u = 2.0 * share - 1.0;
    return 0.25 * (u * std::sqrt(1.0 - u * u) + std::asin(u));
  };
  const auto moment = [](double share) {
    const double u = 2.0 * share - 1.0;
    return -std::pow(1.0 - u * u, 1.5) / 12.0;
  };
  return {area(slice.to) - area(slice.from), moment(slice.to) - moment(slice.from)};
}

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

/// Area of an ellipse's tip over that of the slice behind it.
double tip_of_ellipse() {
  static const double ratio = half_ellipse(kTip).area / half_ellipse(kBehindTip).area;
  return ratio;
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
