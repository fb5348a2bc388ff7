// Values on shapes whose answers are known: ellipse and circle (closed forms), an egg curve (plain
// numerical integration), polygons worked by hand.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "libmaturity/descriptors/asymmetry.h"
#include "libmaturity/descriptors/describe_outline.h"
#include "libmaturity/descriptors/elongation.h"
#include "libmaturity/descriptors/end_balance.h"
#include "libmaturity/descriptors/end_fill.h"
#include "libmaturity/descriptors/inscribed_disc.h"
#include "libmaturity/descriptors/roundness_of_whole.h"
#include "libmaturity/descriptors/shoulder_rise.h"
#include "libmaturity/descriptors/stem_hollow.h"
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

TEST(ClosedForms, EllipseGivesTheFormulasOfTheDefinitions) {
  for (const double b : {60.0, 48.0, 42.0, 36.0}) {
    const double a = 60.0;
    const Descriptors d = of_ellipse(a, b);
    // 2 (pi/6 - sqrt(3)/8): half segment of the unit circle over 1/2 x 1 (worked by hand).
    const double fill = 2.0 * (pi / 6.0 - std::sqrt(3.0) / 8.0);
    EXPECT_NEAR(d[D::elongation], a / b, 2e-4);
    EXPECT_NEAR(d[D::shoulder_fill_ventral], fill, 3e-4);
    EXPECT_NEAR(d[D::shoulder_fill_dorsal], fill, 3e-4);
    EXPECT_NEAR(d[D::nose_fill], fill, 3e-4);
    EXPECT_NEAR(d[D::nose_roundness], b / a, 0.02 * b / a) << "b = " << b;
    EXPECT_NEAR(d[D::beak_curvature], 2.0 * a * a / (b * b), 0.015 * 2.0 * a * a / (b * b));
    EXPECT_NEAR(d[D::turning_nose], 2.0 * std::atan(std::sqrt(3.0) * a / b) / pi, 1e-3);
    EXPECT_NEAR(d[D::turning_shoulder], 2.0 * std::atan(std::sqrt(3.0) * a / b) / pi, 1e-3);
    for (const D zero :
         {D::stem_hollow, D::shoulder_rise_ventral, D::shoulder_rise_dorsal, D::beak_prominence,
          D::sinus_depth, D::end_balance, D::cheek_asymmetry, D::shoulder_asymmetry,
          D::axis_asymmetry, D::fourier_taper, D::fourier_asymmetry}) {
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
  EXPECT_NEAR(d[D::bending_energy], 1.0, 5e-3);
  EXPECT_NEAR(d[D::stem_bend], 2.0, 2e-3);
  EXPECT_NEAR(d[D::nose_roundness], 1.0, 2e-3);
  EXPECT_NEAR(d[D::fourier_squareness], 0.0, 1e-6);
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
  double widest = 0.0;
  for (int i = -100000; i < 100000; ++i) {
    widest = std::max(widest, height(1e-5 * i));
  }
  Polygon egg;
  for (int i = 0; i < 1000; ++i) {
    const double t = 2.0 * pi * (i + 0.37) / 1000.0;
    egg.emplace_back(50.0 * std::cos(t), 50.0 * b * std::sin(t) * (1.0 - k * std::cos(t)));
  }
  const Descriptors d = describe_outline(egg, along_x(50.0)).descriptors;
  const double whole = integral(-1.0, 1.0);
  EXPECT_NEAR(d[D::end_balance], (integral(-0.6, 0.0) - integral(0.0, 0.6)) / whole, 5e-4);
  EXPECT_NEAR(d[D::shoulder_fill], integral(-1.0, -0.5) / (0.5 * widest), 5e-4);
  EXPECT_NEAR(d[D::nose_fill], integral(0.5, 1.0) / (0.5 * widest), 5e-4);
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
  EXPECT_NEAR(measure_shoulder_fill(t, +1, nullptr), 5.75 / 6.0, 1e-12);
  EXPECT_NEAR(measure_shoulder_fill(t, -1, nullptr), 5.75 / 6.0, 1e-12);
  EXPECT_NEAR(measure_nose_fill(t, nullptr), 8.5 / 12.0, 1e-12);
  // Widths 5.6, 5, 4.4 at 1.6, 4, 6.4: areas 12.72 and 11.28.
  EXPECT_NEAR(measure_end_balance(t, nullptr), 1.44 / 40.0, 1e-12);
  EXPECT_NEAR(measure_solidity(t, nullptr), 1.0, 1e-12);
  EXPECT_NEAR(measure_stem_hollow(t, nullptr), 0.0, 1e-12);
}

TEST(ClosedForms, DentAtTheStemIsHollowAndRise) {
  const FramedOutline t = trapezium(true);
  EXPECT_NEAR(measure_stem_hollow(t, nullptr), 1.0 / 8.0, 1e-12);
  EXPECT_NEAR(measure_shoulder_rise(t, +1, nullptr), 1.0 / 8.0, 1e-12);
  EXPECT_NEAR(measure_shoulder_rise(t, -1, nullptr), 1.0 / 8.0, 1e-12);
  EXPECT_NEAR(measure_solidity(t, nullptr), 37.0 / 40.0, 1e-12);
}

TEST(ClosedForms, LShapeAndSevenCornersAgainstExactSums) {
  Pose pose = along_x(1.0);
  // 2 x 2 square without one 1 x 1 corner: area 3, hull 3.5 (COMPUTED by two routes: 0.857142857).
  const FramedOutline l = frame_outline(
      {Point(0, 0), Point(2, 0), Point(2, 1), Point(1, 1), Point(1, 2), Point(0, 2)}, pose);
  EXPECT_NEAR(measure_solidity(l, nullptr), 0.857142857142857, 1e-12);
  // Seven corners, one reflex: area 75, hull 159/2, circularity (COMPUTED by two routes, exact
  // sums).
  const FramedOutline seven = frame_outline({Point(1, 4), Point(4, 2), Point(13, 1), Point(13, 6),
                                             Point(5, 10), Point(6, 8), Point(1, 9)},
                                            pose);
  EXPECT_NEAR(seven.area, 75.0, 1e-12);
  EXPECT_NEAR(measure_solidity(seven, nullptr), 50.0 / 53.0, 1e-12);
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
