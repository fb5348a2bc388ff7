// Every descriptor on circle, ellipses, egg curves and a fruit with beak, sinus and hollow, against
// plain sums over the curve itself.
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "libmaturity/descriptors/describe_outline.h"
#include "tests/descriptors/curve_values.h"

namespace maturity {
namespace {

using D = Descriptor;
using std::numbers::pi;

using Curve = std::function<Point(double)>;

Curve egg_curve(double ventral, double dorsal, double taper) {
  return [=](double share) {
    const double t = 2.0 * pi * share;
    const double x = std::cos(t);
    const double y = std::sin(t) * (1.0 - taper * x);
    return Point(50.0 * x, 50.0 * (y > 0.0 ? ventral : dorsal) * y);
  };
}

/// An egg with a beak, a sinus behind it, a hollow at the stem and uneven shoulders.
Point beaked_fruit(double share) {
  const double t = 2.0 * pi * share;
  const auto bump = [&](double at, double wide) {
    const double away = std::remainder(t - at, 2.0 * pi) / wide;
    return std::exp(-0.5 * away * away);
  };
  const double grown = 1.0 + 0.05 * bump(0.5, 0.17) - 0.05 * bump(1.0, 0.2) +
                       0.03 * bump(pi - 0.6, 0.3) - 0.08 * bump(pi, 0.25);
  const double x = std::cos(t);
  return grown * Point(52.0 * x, 39.0 * std::sin(t) * (1.0 - 0.15 * x));
}

/// Evenly resampled outlines of 256 points cut sharp places a little.
double allowed(D descriptor, double value) {
  switch (descriptor) {
    case D::beak_curvature:
      return 0.02 * std::abs(value);
    case D::nose_roundness:
      return 0.015 * std::abs(value);
    case D::nose_fill:
    case D::turning_nose:
      return 1.5e-3;
    default:
      return 5e-4;
  }
}

void expect_values(const Curve& curve, double stem_share, const std::string& what) {
  Polygon outline;
  for (int i = 0; i < 1000; ++i) {
    outline.push_back(curve((i + 0.37) / 1000.0));
  }
  Pose pose;
  pose.stem = curve(stem_share);
  pose.nose = curve(0.0);
  pose.axis = Point::UnitX();
  pose.ventral_side = +1;
  const Descriptors found = describe_outline(outline, pose).descriptors;
  const Descriptors expected = shapes::values_by_integration(curve, stem_share);
  for (const DescriptorInfo& info : descriptor_registry()) {
    const D d = info.descriptor;
    EXPECT_NEAR(found[d], expected[d], allowed(d, expected[d])) << info.name << ", " << what;
  }
}

TEST(WholeCurves, CircleByHand) {
  const Curve circle = egg_curve(1.0, 1.0, 0.0);
  expect_values(circle, 0.5, "circle");
  const Descriptors d = shapes::values_by_integration(circle, 0.5);
  const double fill = 2.0 * (pi / 6.0 - std::sqrt(3.0) / 8.0);
  const std::vector<std::pair<D, double>> by_hand = {{D::elongation, 1.0},
                                                     {D::shoulder_fill_ventral, fill},
                                                     {D::shoulder_fill_dorsal, fill},
                                                     {D::shoulder_fill, fill},
                                                     {D::nose_fill, fill},
                                                     {D::nose_roundness, 1.0},
                                                     {D::beak_curvature, 2.0},
                                                     {D::circularity, 1.0},
                                                     {D::solidity, 1.0},
                                                     {D::turning_nose, 2.0 / 3.0}};
  for (const DescriptorInfo& info : descriptor_registry()) {
    double expected = 0.0;
    for (const auto& [descriptor, value] : by_hand) {
      expected = descriptor == info.descriptor ? value : expected;
    }
    EXPECT_NEAR(d[info.descriptor], expected, 1e-4) << info.name;
  }
}

TEST(WholeCurves, Ellipses) {
  for (const double b : {0.85, 0.7, 0.6}) {
    expect_values(egg_curve(b, b, 0.0), 0.5, "ellipse " + std::to_string(b));
  }
}

TEST(WholeCurves, Eggs) {
  expect_values(egg_curve(0.7, 0.7, 0.2), 0.5, "egg");
  expect_values(egg_curve(0.75, 0.6, 0.1), 0.5, "lopsided egg");
  // Stem end narrower.
  expect_values(egg_curve(0.65, 0.7, -0.1), 0.5, "turned egg");
}

TEST(WholeCurves, BeakSinusAndHollow) {
  expect_values(beaked_fruit, 0.5, "beaked_fruit");
  const Descriptors d = shapes::values_by_integration(beaked_fruit, 0.5);
  EXPECT_GT(d[D::beak_prominence], 0.01);
  EXPECT_GT(d[D::sinus_depth], 0.005);
  EXPECT_GT(d[D::stem_hollow], 0.01);
  EXPECT_GT(d[D::shoulder_rise_ventral], 0.005);
  EXPECT_LT(d[D::solidity], 0.999);
}

}  // namespace
}  // namespace maturity
