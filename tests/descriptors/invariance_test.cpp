// What must not change: shift, turn, scale, mirror (sides swap), start, direction, resampling; and
// what may only by a little: errors of the edge.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "libmaturity/descriptors/describe_outline.h"
#include "tests/shapes/invented_fruit.h"

namespace maturity {
namespace {

using D = Descriptor;

/// Largest difference that rounding alone may make.
constexpr double kSame = 1e-6;

DescribeOptions with_pose(const shapes::InventedFruit& fruit) {
  DescribeOptions options;
  options.evidence.given_stem = fruit.stem;
  options.evidence.given_nose = fruit.nose;
  options.evidence.given_ventral_side = fruit.ventral_side;
  options.with_errors = false;
  return options;
}

void expect_same(const Descriptors& a, const Descriptors& b, double tolerance, const char* what) {
  for (const DescriptorInfo& info : descriptor_registry()) {
    const double scale = std::max(1.0, std::abs(a[info.descriptor]));
    EXPECT_NEAR(a[info.descriptor], b[info.descriptor], tolerance * scale)
        << info.name << " after " << what;
  }
}

class Invariance : public testing::TestWithParam<int> {
 protected:
  Invariance()
      : random_(static_cast<unsigned>(GetParam())),
        fruit_(shapes::invent_fruit(shapes::random_parameters(random_), 120.0, 512, random_)),
        base_(describe_outline(fruit_.outline, with_pose(fruit_)).descriptors) {}

  std::mt19937_64 random_;
  shapes::InventedFruit fruit_;
  Descriptors base_;
};

TEST_P(Invariance, ShiftTurnAndMirrorChangeNothing) {
  for (const bool mirror : {false, true}) {
    const auto moved = shapes::placed(fruit_, 2.2, mirror, Point(900.0, -350.0));
    expect_same(base_, describe_outline(moved.outline, with_pose(moved)).descriptors, kSame,
                mirror ? "mirror" : "turn and shift");
  }
}

TEST_P(Invariance, ScaleChangesNothing) {
  auto small = fruit_;
  for (Point& p : small.outline) {
    p *= 0.01;
  }
  small.stem *= 0.01;
  small.nose *= 0.01;
  expect_same(base_, describe_outline(small.outline, with_pose(small)).descriptors, kSame, "scale");
}

TEST_P(Invariance, StartAndDirectionChangeNothing) {
  auto other = fruit_;
  std::rotate(other.outline.begin(), other.outline.begin() + 200, other.outline.end());
  expect_same(base_, describe_outline(other.outline, with_pose(other)).descriptors, kSame, "start");
  std::reverse(other.outline.begin(), other.outline.end());
  expect_same(base_, describe_outline(other.outline, with_pose(other)).descriptors, kSame,
              "direction");
}

TEST_P(Invariance, SidesStatedTheOtherWaySwapTheirValues) {
  auto options = with_pose(fruit_);
  options.evidence.given_ventral_side = -fruit_.ventral_side;
  const Descriptors other = describe_outline(fruit_.outline, options).descriptors;
  EXPECT_NEAR(other[D::shoulder_fill_ventral], base_[D::shoulder_fill_dorsal], kSame);
  EXPECT_NEAR(other[D::shoulder_fill_dorsal], base_[D::shoulder_fill_ventral], kSame);
  EXPECT_NEAR(other[D::shoulder_rise_ventral], base_[D::shoulder_rise_dorsal], kSame);
  EXPECT_NEAR(other[D::cheek_asymmetry], -base_[D::cheek_asymmetry], kSame);
  EXPECT_NEAR(other[D::shoulder_asymmetry], -base_[D::shoulder_asymmetry], kSame);
  EXPECT_NEAR(other[D::nose_fill], base_[D::nose_fill], kSame);
}

TEST_P(Invariance, ResamplingFrom100To4000PointsHardlyMatters) {
  std::mt19937_64 again(static_cast<unsigned>(GetParam()));
  const auto parameters = shapes::random_parameters(again);
  const auto dense = shapes::invent_fruit(parameters, 120.0, 4000, again);
  const Descriptors base = describe_outline(dense.outline, with_pose(dense)).descriptors;
  for (const std::size_t count : {100U, 250U, 1000U}) {
    const Polygon fewer = resample_by_arc_length(dense.outline, count);
    const Descriptors d = describe_outline(fewer, with_pose(dense)).descriptors;
    for (const DescriptorInfo& info : descriptor_registry()) {
      // Bends and what rests on them see the corners of 100 straight sides; the sharpest bend also
      // hangs on where the points of its window fall on a nose that is all but a corner.
      const bool bends =
          info.descriptor == D::beak_curvature || info.descriptor == D::nose_roundness;
      double tolerance = bends ? (count == 100 ? 0.08 : 0.03) : 0.006;
      if (info.descriptor == D::beak_curvature) {
        tolerance = 0.15;
      }
      // Straight sides cut the tip of the nose.
      if (info.descriptor == D::nose_fill && count == 100) {
        tolerance = 0.01;
      }
      EXPECT_NEAR(d[info.descriptor], base[info.descriptor],
                  tolerance * std::max(1.0, std::abs(base[info.descriptor])))
          << info.name << " at " << count << " points";
    }
  }
}

TEST_P(Invariance, WhereTheSideIsNotKnownTheMirrorChangesNothing) {
  auto options = with_pose(fruit_);
  options.evidence.given_ventral_side = 0;
  const Descriptors one = describe_outline(fruit_.outline, options).descriptors;
  const auto mirrored = shapes::placed(fruit_, 0.7, true, Point(10.0, 20.0));
  auto again = with_pose(mirrored);
  again.evidence.given_ventral_side = 0;
  const Descriptors other = describe_outline(mirrored.outline, again).descriptors;
  for (const DescriptorInfo& info : descriptor_registry()) {
    const double value = one[info.descriptor];
    EXPECT_EQ(std::isnan(value), std::isnan(other[info.descriptor])) << info.name;
    if (!std::isnan(value)) {
      // The points are walked the other way: stretches end at other points.
      EXPECT_NEAR(other[info.descriptor], value, 1e-4 * std::max(1.0, std::abs(value)))
          << info.name;
    }
  }
}

/// How far errors of the edge may move a value: what scatters is in its standard error (5,280
/// looks: beyond 4.5 none is to be expected, of a skew value now and then), what a rough edge
/// always does is not.
double farthest(D descriptor, const ShapeDescription& clean) {
  const double rough = clean.edge_sd / clean.edge_correlation_length;
  const double se = clean.descriptors.error(descriptor);
  switch (descriptor) {
    case D::circularity:
      // The perimeter grows by half the mean square slope of the errors.
      return 6.0 * se + 1.5 * clean.descriptors[descriptor] * rough * rough;
    case D::solidity:
      return 12.0 * se;
    case D::sinus_depth:
      // The beak may be found at another place.
      return 8.0 * se;
    default:
      return 6.0 * se;
  }
}

TEST_P(Invariance, EdgeErrorsMoveNothingFartherThanTheirStandardErrorsAllow) {
  DescribeOptions options = with_pose(fruit_);
  options.with_errors = true;
  options.edge_sd = 0.1;
  options.edge_correlation_length = 3.0;
  const ShapeDescription clean = describe_outline(fruit_.outline, options);
  for (int draw = 0; draw < 20; ++draw) {
    const Polygon noisy = shapes::with_edge_noise(fruit_.outline, 0.1, 3.0, random_);
    const Descriptors d = describe_outline(noisy, with_pose(fruit_)).descriptors;
    for (const DescriptorInfo& info : descriptor_registry()) {
      EXPECT_NEAR(d[info.descriptor], clean.descriptors[info.descriptor],
                  farthest(info.descriptor, clean))
          << info.name;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Fruit, Invariance, testing::Range(1, 13));

}  // namespace
}  // namespace maturity
