// A house with a roof on the beak side, and a square with a step in its stem end, worked by hand:
// what straight sides give without a circle to fit. (Other polygons: closed_forms_test.)
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "libmaturity/descriptors/axis_asymmetry.h"
#include "libmaturity/descriptors/cheek_asymmetry.h"
#include "libmaturity/descriptors/describe_outline.h"
#include "libmaturity/descriptors/elongation.h"
#include "libmaturity/descriptors/end_balance.h"
#include "libmaturity/descriptors/shoulder_asymmetry.h"
#include "tests/descriptors/curve_values.h"

namespace maturity {
namespace {

using D = Descriptor;
using shapes::half_circle_area;
using shapes::half_circle_moment;
using std::numbers::pi;

/// 8 long; walls 4 high, a roof 2 higher in the middle. Area 32 + 8; the centre of area lies 8/15
/// above the middle of the walls.
const Polygon& house() {
  static const Polygon corners = {Point(0, -2), Point(8, -2), Point(8, 2), Point(4, 4),
                                  Point(0, 2)};
  return corners;
}
constexpr double kCentre = 8.0 / 15.0;

/// The same polygon with 40 points on every side, since fewer than 16 are refused.
Polygon with_points_between(const Polygon& corners) {
  Polygon points;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Point side = corners[(i + 1) % corners.size()] - corners[i];
    for (int k = 0; k < 40; ++k) {
      points.push_back(corners[i] + k / 40.0 * side);
    }
  }
  return points;
}

Descriptors describe_corners(const Polygon& corners, const Pose& pose) {
  return describe_outline(with_points_between(corners), pose).descriptors;
}

Pose pose_of_house() {
  Pose pose;
  pose.stem = Point(0.0, kCentre);
  pose.nose = Point(8.0, kCentre);
  pose.axis = Point::UnitX();
  pose.ventral_side = +1;
  return pose;
}

TEST(HandWorked, ExtentsAndAreasOfTheHouse) {
  const FramedOutline framed = frame_outline(house(), pose_of_house());
  const double ventral = 4.0 - kCentre;
  const double dorsal = 2.0 + kCentre;
  EXPECT_NEAR(measure_elongation(framed, nullptr), 8.0 / 6.0, 1e-12);
  EXPECT_NEAR(measure_end_balance(framed, nullptr), 0.0, 1e-12);
  EXPECT_NEAR(measure_cheek_asymmetry(framed, nullptr), (ventral - dorsal) / 6.0, 1e-12);
  // Half of the ventral half-width out, the roof y = 2 + x / 2 is met; dorsally the end wall.
  const double met = 2.0 * (kCentre + 0.5 * ventral - 2.0);
  EXPECT_NEAR(measure_shoulder_asymmetry(framed, nullptr), -met / 8.0, 1e-12);
  // Half-heights above and below the axis differ by x / 2 - 16/15 up to the ridge at 4: twice the
  // triangles over its zero at 32/15, for both halves of the house and both ways round.
  const double zero = 32.0 / 15.0;
  const double apart = 2.0 * (zero * zero / 4.0 + (4.0 - zero) * (4.0 - zero) / 4.0);
  // On 128 strips, the one with the zero in it a little off.
  EXPECT_NEAR(measure_axis_asymmetry(framed, nullptr), 2.0 * apart / 40.0, 1e-4);
}

TEST(HandWorked, NoseOfTheHouse) {
  const Descriptors d = describe_corners(house(), pose_of_house());
  // Roof falling 1 in 2 against a floor along the axis.
  EXPECT_NEAR(d[D::turning_nose], 1.0 - std::atan(0.5) / pi, 1e-6);
  // At the corner of wall and roof the edge turns by atan(2) within no length: over 0.08 L.
  EXPECT_NEAR(d[D::beak_curvature], std::atan(2.0) / 0.08, 0.03 * std::atan(2.0) / 0.08);
  // The nose is flat (its own bend, 0, counts for a quarter); the disc that touches it there meets
  // the roof x + 2 y = 12: (4 - 2 centre + r) / sqrt(5) = r. The largest touches floor and roofs.
  const double touching = (4.0 - 2.0 * kCentre) / (std::sqrt(5.0) - 1.0);
  const double largest = (8.0 - 2.0 * std::sqrt(5.0)) / (std::sqrt(5.0) + 2.0) + 2.0;
  EXPECT_NEAR(d[D::nose_roundness], touching / (0.75 * largest), 0.01);
}

TEST(HandWorked, StepInTheStemEndOfASquareIsTheHollow) {
  // Side 8; the stem end 0.16 = 0.02 L back for 0.97 to both sides: all of the core (0.04 to 0.11
  // of 8, soft to 0.12 of 8), and nothing of the edge beside it, which begins at 1.2 of arc.
  Pose pose;
  pose.stem = Point(0.16, 0.0);
  pose.nose = Point(8.0, 0.0);
  pose.axis = Point::UnitX();
  pose.ventral_side = +1;
  const Polygon square = {Point(0, -4),   Point(8, -4),      Point(8, 4),        Point(0, 4),
                          Point(0, 0.99), Point(0.16, 0.99), Point(0.16, -0.99), Point(0, -0.99)};
  const Descriptors d = describe_corners(square, pose);
  // Half-width 4 throughout: the egg through the flank, areas 0.14 and 0.14, against 0.15.
  const double n0 = half_circle_area(0.32, 0.46);
  const double n1 = half_circle_moment(0.32, 0.46);
  const double f0 = half_circle_area(0.46, 0.60);
  const double f1 = half_circle_moment(0.46, 0.60);
  const double p = 0.14 * (f1 - n1) / (n0 * f1 - n1 * f0);
  const double q = 0.14 * (n0 - f0) / (n0 * f1 - n1 * f0);
  const double of_ellipse = 2.0 * (pi / 6.0 - std::sqrt(3.0) / 8.0);
  const double fill =
      of_ellipse * 0.15 / (p * half_circle_area(0.10, 0.25) + q * half_circle_moment(0.10, 0.25));
  EXPECT_NEAR(d[D::shoulder_fill], fill, 2e-3);
  EXPECT_NEAR(d[D::stem_hollow], 0.02 - 0.06 * (fill - of_ellipse), 4e-4);
  EXPECT_NEAR(d[D::shoulder_rise_ventral], 0.02, 1e-4);
  EXPECT_NEAR(d[D::shoulder_rise_dorsal], 0.02, 1e-4);
}

/// Elliptic Fourier coefficients of a polygon from its corners (Kuhl and Giardina 1982): sums over
/// its straight sides, exact, the walk begun `phase` later.
struct SideSums {
  double cos_x = 0.0;
  double sin_x = 0.0;
  double cos_y = 0.0;
  double sin_y = 0.0;
};

SideSums side_sums(const Polygon& corners, int harmonic, double phase) {
  double whole = 0.0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    whole += (corners[(i + 1) % corners.size()] - corners[i]).norm();
  }
  SideSums sums;
  double before = 0.0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Point side = corners[(i + 1) % corners.size()] - corners[i];
    const double after = before + side.norm();
    const auto angle = [&](double arc) { return harmonic * (2.0 * pi * arc / whole - phase); };
    const double per_arc = whole / (2.0 * pi * pi * harmonic * harmonic * side.norm());
    const double cos = per_arc * (std::cos(angle(after)) - std::cos(angle(before)));
    const double sin = per_arc * (std::sin(angle(after)) - std::sin(angle(before)));
    sums.cos_x += side.x() * cos;
    sums.sin_x += side.x() * sin;
    sums.cos_y += side.y() * cos;
    sums.sin_y += side.y() * sin;
    before = after;
  }
  return sums;
}

TEST(HandWorked, HarmonicsOfTheHouse) {
  const SideSums first = side_sums(house(), 1, 0.0);
  const double phase = std::atan2(-first.sin_x, -first.cos_x);
  const double half_length = std::abs(side_sums(house(), 1, phase).cos_x);
  double squares = 0.0;
  for (int n = 2; n <= 6; ++n) {
    const SideSums one = side_sums(house(), n, phase);
    squares += one.sin_x * one.sin_x + one.cos_y * one.cos_y;
  }
  const Descriptors d = describe_corners(house(), pose_of_house());
  EXPECT_NEAR(d[D::fourier_taper], -side_sums(house(), 2, phase).sin_y / half_length, 1e-4);
  EXPECT_NEAR(d[D::fourier_squareness], -side_sums(house(), 3, phase).sin_y / half_length, 1e-4);
  EXPECT_NEAR(d[D::fourier_asymmetry], std::sqrt(squares) / half_length, 1e-4);
  EXPECT_GT(std::abs(d[D::fourier_squareness]), 0.01);
  EXPECT_GT(d[D::fourier_asymmetry], 0.05);
}

}  // namespace
}  // namespace maturity
