// Elliptic Fourier coefficients against values COMPUTED by two routes (the sums of Kuhl and
// Giardina 1982, and direct Fourier integrals over arc length by quadrature).
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "libmaturity/descriptors/fourier.h"

namespace maturity {
namespace {

using std::numbers::pi;

const Polygon kSquare = {Point(1, 1), Point(-1, 1), Point(-1, -1), Point(1, -1)};
const Polygon kRectangle = {Point(0, 0), Point(3, 0), Point(3, 1), Point(0, 1)};

TEST(EllipticFourier, SquareOfSideTwo) {
  const auto h = elliptic_fourier(kSquare, 25);
  const double first = 8.0 / (pi * pi);
  EXPECT_NEAR(h[0].a, first, 1e-12);
  EXPECT_NEAR(h[0].b, -first, 1e-12);
  EXPECT_NEAR(h[0].c, first, 1e-12);
  EXPECT_NEAR(h[0].d, first, 1e-12);
  EXPECT_NEAR(h[2].a, 0.0900632743487, 1e-12);
  EXPECT_NEAR(h[2].d, -0.0900632743487, 1e-12);
  EXPECT_NEAR(h[4].a, 0.0324227787655, 1e-12);
  for (const std::size_t even : {1U, 3U, 5U}) {
    EXPECT_NEAR(std::hypot(h[even].a, h[even].b) + std::hypot(h[even].c, h[even].d), 0.0, 1e-12);
  }
}

TEST(EllipticFourier, AreaOfTheSquareComesNearerWithMoreHarmonics) {
  EXPECT_NEAR(fourier_area(elliptic_fourier(kSquare, 1)), 4.12819640745, 1e-10);
  EXPECT_NEAR(fourier_area(elliptic_fourier(kSquare, 3)), 3.97530024421, 1e-10);
  EXPECT_NEAR(fourier_area(elliptic_fourier(kSquare, 9)), 4.00195307829, 1e-10);
  EXPECT_NEAR(fourier_area(elliptic_fourier(kSquare, 25)), 4.00011641475, 1e-10);
}

TEST(EllipticFourier, RectangleThreeByOne) {
  const auto h = elliptic_fourier(kRectangle, 3);
  EXPECT_NEAR(h[0].a, -1.38372863739, 1e-10);
  EXPECT_NEAR(h[0].b, 0.573159168251, 1e-10);
  EXPECT_NEAR(h[0].c, -0.237410300888, 1e-10);
  EXPECT_NEAR(h[0].d, -0.573159168251, 1e-10);
  EXPECT_NEAR(h[2].a, -0.0263789223209, 1e-10);
  EXPECT_NEAR(h[2].b, 0.0636843520279, 1e-10);
  EXPECT_NEAR(h[2].c, -0.153747626377, 1e-10);
  EXPECT_NEAR(h[2].d, -0.0636843520279, 1e-10);
}

TEST(EllipticFourier, RectangleInNormalFormByShiftingTheStart) {
  // Start moved by theta = -pi/8, then divided by the half-axis 1.49773708443 and turned by pi:
  // first harmonic (1, 0, 0, sqrt 2 - 1), third (0.0460237291526, 0, 0, 1/9).
  const auto h = shifted(elliptic_fourier(kRectangle, 3), -pi / 8.0);
  const double size = std::hypot(h[0].a, h[0].c);
  EXPECT_NEAR(size, 1.49773708443, 1e-10);
  EXPECT_NEAR(-h[0].a / size, 1.0, 1e-10);
  EXPECT_NEAR(h[0].b / size, 0.0, 1e-10);
  EXPECT_NEAR(h[0].c / size, 0.0, 1e-10);
  EXPECT_NEAR(-h[0].d / size, std::sqrt(2.0) - 1.0, 1e-10);
  EXPECT_NEAR(-h[2].a / size, 0.0460237291526, 1e-10);
  EXPECT_NEAR(-h[2].d / size, 1.0 / 9.0, 1e-10);
}

/// The sums with a fault, as found in public code: the closing side left out, or the time of each
/// step's start taken from the wrong step.
double first_a_with_fault(const Polygon& p, bool closed, bool late_start) {
  const double total = perimeter(p);
  double done = 0.0;
  double before = 0.0;
  double sum = 0.0;
  for (std::size_t i = 0; i + (closed ? 0 : 1) < p.size(); ++i) {
    const Point side = p[(i + 1) % p.size()] - p[i];
    const double from = late_start ? before : done;
    before = done;
    done += side.norm();
    sum += side.x() / side.norm() *
           (std::cos(2.0 * pi * done / total) - std::cos(2.0 * pi * from / total));
  }
  return sum * total / (2.0 * pi * pi);
}

TEST(EllipticFourier, KnownFaultsWouldBeSeen) {
  EXPECT_NEAR(first_a_with_fault(kRectangle, true, false), -1.38372863739, 1e-10);
  // The same rectangle started at another corner, so that the closing side runs along x.
  const Polygon turned = {Point(3, 0), Point(3, 1), Point(0, 1), Point(0, 0)};
  EXPECT_GT(
      std::abs(first_a_with_fault(turned, false, false) - first_a_with_fault(turned, true, false)),
      0.01);
  EXPECT_GT(std::abs(first_a_with_fault(kRectangle, true, true) - -1.38372863739), 0.01);
}

TEST(EllipticFourier, MisuseIsNamed) {
  EXPECT_THROW(elliptic_fourier({Point(0, 0), Point(1, 0)}, 3), std::invalid_argument);
  EXPECT_THROW(elliptic_fourier(kSquare, 0), std::invalid_argument);
}

}  // namespace
}  // namespace maturity
