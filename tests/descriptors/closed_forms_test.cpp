// Values on shapes whose answers are known: ellipse and circle (closed forms), an egg curve (plain
// numerical integration), polygons worked by hand.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "libmaturity/descriptors/circularity.h"
#include "libmaturity/descriptors/describe_outline.h"
#include "libmaturity/descriptors/elongation.h"
#include "libmaturity/descriptors/end_balance.h"
#include "libmaturity/descriptors/half_ellipse.h"
#include "libmaturity/descriptors/inscribed_disc.h"
#include "libmaturity/descriptors/nose_fill.h"
#include "libmaturity/descriptors/shoulder_fill.h"
#include "libmaturity/descriptors/shoulder_rise.h"
#include "libmaturity/descriptors/solidity.h"
#include "tests/descriptors/curve_values.h"
#include "tests/shapes/invented_fruit.h"

namespace maturity {
namespace {

using D = Descriptor;
using std::numbers::pi;

Pose along_x(double a) {
  Pose pose;
  pose.stem = Point(-a, 0.0);
  pose.nose = Point(a, 0.0);
  pose.axis = Point::UnitX();
  pose.ventral_side = +1;
  return pose;
}

Descriptors of_ellipse(double a, double b) {
  return describe_outline(shapes::ellipse(a, b, 720), along_x(a)).descriptors;
}

/// Mean curvature about the tip of an ellipse with triangular weights over that arc, by plain sums
/// over the angle.
double smoothed_tip_curvature(double a, double b, double reach) {
  double sum = 0.0;
  double arc = 0.0;
  const double step = 1e-5;
  for (double t = 0.5 * step; arc < reach; t += step) {
    const double speed = std::hypot(a * std::sin(t), b * std::cos(t));
    arc += speed * step;
    sum += a * b / (speed * speed * speed) * (1.0 - arc / reach) * speed * step;
  }
  return 2.0 * sum / reach;
}

/// Curvature of the circle fitted about the tip over that arc to both sides, by plain sums over the
/// arc: height = c - curvature / 2 times the squared distance to the tip.
double fitted_tip_curvature(double a, double b, double reach) {
  double n = 0.0;
  double s2 = 0.0;
  double s4 = 0.0;
  double h = 0.0;
  double h2 = 0.0;
  double arc = 0.0;
  const double step = 1e-4;
  for (double t = 0.5 * step; arc < reach; t += step) {
    const double weight = std::hypot(a * std::sin(t), b * std::cos(t)) * step;
    arc += weight;
    const double height = a * (std::cos(t) - 1.0);
    const double squared = height * height + std::pow(b * std::sin(t), 2);
    n += weight;
    s2 += weight * squared;
    s4 += weight * squared * squared;
    h += weight * height;
    h2 += weight * height * squared;
  }
  return -2.0 * (n * h2 - s2 * h) / (n * s4 - s2 * s2);
}

TEST(ClosedForms, EllipseGivesTheFormulasOfTheDefinitions) {
  for (const double b : {60.0, 48.0, 42.0, 36.0}) {
    const double a = 60.0;
    const Descriptors d = of_ellipse(a, b);
    // 2 (pi/6 - sqrt(3)/8): half segment of the unit circle over 1/2 x 1 (worked by hand).
    const double fill = 2.0 * (pi / 6.0 - std::sqrt(3.0) / 8.0);
    EXPECT_NEAR(d[D::elongation], a / b, 2e-4);
    EXPECT_NEAR(d[D::shoulder_fill_ventral], fill, 3e-4);
    EXPECT_NEAR(d[D::shoulder_fill_dorsal], fill, 3e-4);
    // Points are means over a step of arc: at the very tip they cut a little.
    EXPECT_NEAR(d[D::nose_fill], fill, 6e-4);
    // At the very tip b/a; the circle is fitted over some arc.
    EXPECT_GE(d[D::nose_roundness], b / a - 1e-3) << "b = " << b;
    EXPECT_NEAR(d[D::nose_roundness], 1.0 / (fitted_tip_curvature(a, b, 0.09 * 2.0 * a) * b),
                0.01 * b / a)
        << "b = " << b;
    const double sharpest = smoothed_tip_curvature(a, b, 0.08 * 2.0 * a) * 2.0 * a;
    EXPECT_LT(sharpest, 2.0 * a * a / (b * b) + 1e-6);
    EXPECT_NEAR(d[D::beak_curvature], sharpest, 0.02 * sharpest);
    EXPECT_NEAR(d[D::turning_nose], 2.0 * std::atan(std::sqrt(3.0) * a / b) / pi, 1e-3);
    for (const D zero :
         {D::shoulder_rise_ventral, D::shoulder_rise_dorsal, D::end_balance, D::cheek_asymmetry,
          D::shoulder_asymmetry, D::axis_asymmetry, D::fourier_taper, D::fourier_asymmetry}) {
      EXPECT_NEAR(d[zero], 0.0, 2e-4) << name(zero) << " b = " << b;
    }
    EXPECT_NEAR(d[D::solidity], 1.0, 1e-12);
  }
}

TEST(ClosedForms, CircularityOfTheEllipseSixByFour) {
  // Perimeter by the complete elliptic integral; COMPUTED by two routes: 0.94103714756.
  EXPECT_NEAR(of_ellipse(60.0, 40.0)[D::circularity], 0.94103714756, 3e-4);
}

TEST(ClosedForms, CircleIsRoundInEveryWay) {
  const Descriptors d = of_ellipse(50.0, 50.0);
  EXPECT_NEAR(d[D::circularity], 1.0, 1e-4);
  EXPECT_NEAR(d[D::nose_roundness], 1.0, 2e-3);
  EXPECT_NEAR(d[D::fourier_squareness], 0.0, 1e-6);
  EXPECT_NEAR(d[D::stem_hollow], 0.0, 1e-5);
  EXPECT_NEAR(d[D::beak_prominence], 0.0, 1e-5);
  EXPECT_NEAR(d[D::sinus_depth], 0.0, 1e-5);
}

/// A circle of radius 1 whose edge stands out by `height` within `reach` of arc of a place.
void raise(Polygon& circle, double angle, double reach, double height) {
  for (Point& p : circle) {
    const double away = std::abs(std::remainder(std::atan2(p.y(), p.x()) - angle, 2.0 * pi));
    if (away < reach) {
      p *= 1.0 + height;
    }
  }
}

TEST(ClosedForms, StepsOnACircleAreAsHighAsTheyWereMade) {
  // Each step covers the whole core and ends before the edge beside it begins, so the mean height
  // is the step's, over L. A step in the edge beside it would make another value.
  const double height = 0.02;
  const double length = 2.0;
  const double beak_at = 0.6;
  const double sinus_at = beak_at + 0.165 * length;
  const auto measure = [&](double beak, double sinus, double hollow, double beak_reach) {
    Polygon p = shapes::ellipse(1.0, 1.0, 4000);
    raise(p, beak_at, beak_reach * length, beak);
    raise(p, sinus_at, 0.075 * length, -sinus);
    raise(p, pi, 0.13 * length, -hollow);
    return describe_outline(p, along_x(1.0)).descriptors;
  };
  const double step = height / length;
  EXPECT_NEAR(measure(height, 0.0, 0.0, 0.06)[D::beak_prominence], step, 0.04 * step);
  EXPECT_NEAR(measure(0.0, 0.0, height, 0.06)[D::stem_hollow], step, 0.03 * step);
  // What of the beak's foot is not left out counts as edge beside the sinus.
  EXPECT_NEAR(measure(height, height, 0.0, 0.06)[D::sinus_depth], step, 0.12 * step);
  // Made wrong on purpose: a step that reaches into the edge beside it.
  EXPECT_LT(measure(height, 0.0, 0.0, 0.15)[D::beak_prominence], 0.9 * step);
}

TEST(ClosedForms, AnEllipseStandsOutAtItsEnds) {
  // Long ends are sharper than the sides: no hollow but the contrary, more so the longer.
  EXPECT_LT(of_ellipse(60.0, 48.0)[D::stem_hollow], -0.001);
  EXPECT_LT(of_ellipse(60.0, 36.0)[D::stem_hollow], of_ellipse(60.0, 48.0)[D::stem_hollow]);
}

TEST(ClosedForms, EggCurveByPlainIntegration) {
  // y = +-b sqrt(1 - x^2) (1 - k x), x in -1..1 with the stem end at -1; integrals by the midpoint
  // rule in x, which knows nothing of polygons.
  const double b = 0.7;
  const double k = 0.2;
  const auto height = [&](double x) { return b * std::sqrt(1.0 - x * x) * (1.0 - k * x); };
  const auto integral = [&](double low, double high) {
    double sum = 0.0;
    const int strips = 200000;
    for (int i = 0; i < strips; ++i) {
      sum += height(low + (high - low) * (i + 0.5) / strips);
    }
    return sum * (high - low) / strips;
  };
  Polygon egg;
  for (int i = 0; i < 1000; ++i) {
    const double t = 2.0 * pi * (i + 0.37) / 1000.0;
    egg.emplace_back(50.0 * std::cos(t), 50.0 * b * std::sin(t) * (1.0 - k * std::cos(t)));
  }
  const Descriptors d = describe_outline(egg, along_x(50.0)).descriptors;
  const double whole = integral(-1.0, 1.0);
  EXPECT_NEAR(d[D::end_balance], (integral(-0.6, 0.0) - integral(0.0, 0.6)) / whole, 5e-4);
  // Half-widths of an ellipse times a straight line: what the shoulder is held against. The area of
  // its quarter over the rectangle around it, the definition before, is far from an ellipse's.
  EXPECT_NEAR(d[D::shoulder_fill], kEllipseFill, 3e-4);
  double widest = 0.0;
  for (int i = -100000; i < 100000; ++i) {
    widest = std::max(widest, height(1e-5 * i));
  }
  EXPECT_GT(integral(-1.0, -0.5) / (0.5 * widest), kEllipseFill + 0.02);
  const double tip_of_ellipse =
      shapes::half_circle_area(0.925, 1.0) / shapes::half_circle_area(0.6, 0.7);
  EXPECT_NEAR(d[D::nose_fill],
              kEllipseFill * integral(0.85, 1.0) / integral(0.2, 0.4) / tip_of_ellipse, 1e-3);
  EXPECT_GT(d[D::fourier_taper], 0.01);
}

/// Trapezium worked by hand: 6 wide at the stem end, 4 at the nose end, 8 long.
FramedOutline trapezium(bool dented) {
  Polygon p = {Point(0.0, -3.0), Point(8.0, -2.0), Point(8.0, 2.0), Point(0.0, 3.0)};
  if (dented) {
    p.emplace_back(1.0, 0.0);
  }
  Pose pose = along_x(1.0);
  pose.stem = Point(dented ? 1.0 : 0.0, 0.0);
  pose.nose = Point(8.0, 0.0);
  return frame_outline(p, pose);
}

TEST(ClosedForms, TrapeziumWorkedByHand) {
  const FramedOutline t = trapezium(false);
  EXPECT_NEAR(measure_elongation(t, nullptr), 8.0 / 6.0, 1e-12);
  // Half-width 3 - share of the length: areas 3.39 of the shoulder, 2.9232 and 2.7664 of the flank.
  // The egg p + q (share - 1/2), times a half ellipse, has the flank's areas.
  const auto area = shapes::half_circle_area;
  const auto moment = shapes::half_circle_moment;
  const double determinant =
      area(0.32, 0.46) * moment(0.46, 0.6) - moment(0.32, 0.46) * area(0.46, 0.6);
  const double p = (2.9232 * moment(0.46, 0.6) - moment(0.32, 0.46) * 2.7664) / determinant;
  const double q = (area(0.32, 0.46) * 2.7664 - 2.9232 * area(0.46, 0.6)) / determinant;
  const double fill = kEllipseFill * 3.39 / (p * area(0.1, 0.25) + q * moment(0.1, 0.25));
  const ShoulderFills fills(t);
  EXPECT_NEAR(fills.ventral(), fill, 1e-9);
  EXPECT_NEAR(fills.dorsal(), fill, 1e-9);
  EXPECT_NEAR(fills.mean(), fill, 1e-9);
  // 1.2225 of the tip, 1.88 behind it, on either side.
  EXPECT_NEAR(measure_nose_fill(t, nullptr),
              kEllipseFill * 1.2225 / 1.88 / (area(0.925, 1.0) / area(0.6, 0.7)), 1e-6);
  // Widths 5.6, 5, 4.4 at 1.6, 4, 6.4: areas 12.72 and 11.28.
  EXPECT_NEAR(measure_end_balance(t, nullptr), 1.44 / 40.0, 1e-12);
  EXPECT_NEAR(measure_solidity(t, BendLine(t), nullptr), 1.0, 1e-12);
}

TEST(ClosedForms, DentAtTheStemIsARiseOfTheShoulders) {
  const FramedOutline t = trapezium(true);
  EXPECT_NEAR(measure_shoulder_rise(t, +1, nullptr), 1.0 / 8.0, 1e-12);
  EXPECT_NEAR(measure_shoulder_rise(t, -1, nullptr), 1.0 / 8.0, 1e-12);
  EXPECT_NEAR(measure_solidity(t, BendLine(t), nullptr), 37.0 / 40.0, 1e-12);
}

TEST(ClosedForms, LShapeAndSevenCornersAgainstExactSums) {
  Pose pose = along_x(1.0);
  // 2 x 2 square without one 1 x 1 corner: area 3, hull 3.5 (COMPUTED by two routes: 0.857142857).
  const FramedOutline l = frame_outline(
      {Point(0, 0), Point(2, 0), Point(2, 1), Point(1, 1), Point(1, 2), Point(0, 2)}, pose);
  EXPECT_NEAR(measure_solidity(l, BendLine(l), nullptr), 0.857142857142857, 1e-12);
  // Seven corners, one reflex: area 75, hull 159/2, circularity (COMPUTED by two routes, exact
  // sums).
  const FramedOutline seven = frame_outline({Point(1, 4), Point(4, 2), Point(13, 1), Point(13, 6),
                                             Point(5, 10), Point(6, 8), Point(1, 9)},
                                            pose);
  EXPECT_NEAR(seven.area, 75.0, 1e-12);
  EXPECT_NEAR(measure_solidity(seven, BendLine(seven), nullptr), 50.0 / 53.0, 1e-12);
  EXPECT_NEAR(measure_circularity(seven, nullptr), 0.621545082356, 1e-11);
  EXPECT_NEAR(measure_elongation(seven, nullptr), 12.0 / 9.0, 1e-12);
}

TEST(ClosedForms, SquareCircularityIsAQuarterPi) {
  // COMPUTED: 0.785398163397.
  const FramedOutline square =
      frame_outline({Point(0, 0), Point(1, 0), Point(1, 1), Point(0, 1)}, along_x(1.0));
  EXPECT_NEAR(measure_circularity(square, nullptr), 0.785398163397, 1e-12);
}

TEST(InscribedDisc, AgreesWithASlowSearchOverAGrid) {
  std::mt19937_64 random(8);
  for (int i = 0; i < 6; ++i) {
    const auto fruit = shapes::invent_fruit(shapes::random_parameters(random), 120.0, 256, random);
    Pose pose = along_x(1.0);
    pose.stem = fruit.stem;
    pose.nose = fruit.nose;
    const FramedOutline framed = frame_outline(fruit.outline, pose);
    double best = 0.0;
    for (int x = -80; x <= 80; ++x) {
      for (int y = -40; y <= 40; ++y) {
        best = std::max(best, distance_to_outline(framed.points, Point(0.5 * x, 0.5 * y)));
      }
    }
    EXPECT_NEAR(largest_inscribed_disc(framed).radius, best, 0.25);
  }
}

}  // namespace
}  // namespace maturity
