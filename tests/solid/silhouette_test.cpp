#include "libmaturity/solid/silhouette.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "libmaturity/core/convex_hull.h"
#include "libmaturity/solid/invert_silhouette.h"

namespace maturity {
namespace {

// Closed forms (computed twice: dual conic of the projected quadric in exact arithmetic; tangent
// directions by root finding): a solid on the plane, pinhole at height H = 600 above it, its foot
// `d` away from the contact point. Sphere r: across r sqrt(H/(H-2r)), along the offset
// r sqrt(d^2 + H(H-2r))/(H-2r), centre d (H-r)/(H-2r).

Polygon ellipse(double a, double b, const Point& centre, std::size_t n) {
  Polygon p(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double t = 2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(n);
    p[i] = centre + Point(a * std::cos(t), b * std::sin(t));
  }
  return p;
}

struct Box {
  double left, right, low, high;
};

Box box_of(const Polygon& p) {
  Box box{p[0].x(), p[0].x(), p[0].y(), p[0].y()};
  for (const Point& q : p) {
    box.left = std::min(box.left, q.x());
    box.right = std::max(box.right, q.x());
    box.low = std::min(box.low, q.y());
    box.high = std::max(box.high, q.y());
  }
  return box;
}

// An even number of points keeps the extreme points of the ellipse among them.
constexpr std::size_t kCount = 20000;

TEST(Silhouette, SphereOnTheAxisLooksSevenPerCentLarger) {
  const RestingSolid sphere{ellipse(40, 40, {0, 0}, kCount), {0, 0}, 40};
  const Polygon seen = silhouette_on_board(sphere, {0, 0, 600});
  for (std::size_t i = 0; i < seen.size(); i += 1000) {
    EXPECT_NEAR(seen[i].norm(), 42.9668924424, 1e-9);
  }
}

TEST(Silhouette, SphereOffTheAxisIsTheKnownEllipse) {
  const RestingSolid sphere{ellipse(40, 40, {150, 0}, kCount), {150, 0}, 40};
  const Box box = box_of(silhouette_on_board(sphere, {0, 0, 600}));
  EXPECT_NEAR(box.left, 117.049250028, 1e-6);
  EXPECT_NEAR(box.right, 206.027673049, 1e-6);
  EXPECT_NEAR(0.5 * (box.high - box.low), 42.9668924424, 1e-6);
}

TEST(Silhouette, EllipsoidOnAndOffTheAxis) {
  const RestingSolid on{ellipse(60, 45, {0, 0}, kCount), {0, 0}, 40};
  Box box = box_of(silhouette_on_board(on, {0, 0, 600}));
  EXPECT_NEAR(box.right, 64.4503386635, 1e-7);
  EXPECT_NEAR(box.high, 48.3377539977, 1e-7);
  const RestingSolid off{ellipse(60, 45, {150, 0}, kCount), {150, 0}, 40};
  box = box_of(silhouette_on_board(off, {0, 0, 600}));
  EXPECT_NEAR(0.5 * (box.right - box.left), 65.4750505805, 1e-6);
  EXPECT_NEAR(0.5 * (box.right + box.left), 161.538461538, 1e-6);
  EXPECT_NEAR(box.high, 48.3377539977, 1e-6);
}

TEST(Silhouette, ScalingAtTheCentreHeightIsWrongOnPurposeAndCaught) {
  // The common shortcut r H/(H - r) is 0.11 mm short for this sphere: the check must see it.
  EXPECT_GT(std::abs(40.0 * 600.0 / 560.0 - 42.9668924424), 0.1);
}

TEST(Silhouette, RefusesACameraInsideTheFruit) {
  const RestingSolid sphere{ellipse(40, 40, {0, 0}, 64), {0, 0}, 40};
  EXPECT_THROW(silhouette_on_board(sphere, {0, 0, 70}), std::invalid_argument);
}

TEST(InvertSilhouette, GivesBackTheEllipsoidAnywhereUnderTheCamera) {
  for (const Point& at : {Point(0, 0), Point(150, 0), Point(-220, 130), Point(40, -260)}) {
    const RestingSolid truth{ellipse(60, 45, at, 720), at, 0.82 * 45};
    const Eigen::Vector3d camera(10, -20, 700);
    const auto back = invert_silhouette(silhouette_on_board(truth, camera), camera, {});
    ASSERT_TRUE(back);
    EXPECT_NEAR(back->half_thickness, truth.half_thickness, 2e-3);
    const Box box = box_of(back->section);
    EXPECT_NEAR(box.right - box.left, 120.0, 0.01);
    EXPECT_NEAR(box.high - box.low, 90.0, 0.01);
    EXPECT_NEAR((back->centre - at).norm(), 0.0, 0.01);
  }
}

TEST(InvertSilhouette, SphereOfKnownThicknessFollowsTheClosedInverse) {
  // r = R (sqrt(1 + (R/H)^2) - R/H) with R the on-axis radius.
  const auto back = invert_silhouette(ellipse(42.9668924424, 42.9668924424, {0, 0}, 720),
                                      {0, 0, 600}, {0.82, 0.04, 80.0});
  ASSERT_TRUE(back);
  EXPECT_NEAR(back->section[0].norm(), 40.0, 1e-6);
}

TEST(InvertSilhouette, AFruitShapedSectionComesBackToo) {
  Polygon egg(720);
  for (std::size_t i = 0; i < egg.size(); ++i) {
    const double t = 2.0 * std::numbers::pi * static_cast<double>(i) / 720.0;
    const double r = 1.0 + 0.12 * std::cos(t) + 0.04 * std::sin(2 * t) + 0.02 * std::cos(3 * t);
    egg[i] = Point(180, -90) + r * Point(58 * std::cos(t), 43 * std::sin(t));
  }
  RestingSolid truth{egg, area_centroid(egg), 0.0};
  truth.half_thickness = 0.5 * 0.82 * least_breadth(egg);
  const Eigen::Vector3d camera(0, 0, 800);
  const auto back = invert_silhouette(silhouette_on_board(truth, camera), camera, {});
  ASSERT_TRUE(back);
  for (std::size_t i = 0; i < egg.size(); i += 20) {
    EXPECT_LT(distance_to_outline(truth.section, back->section[i]), 0.02);
  }
}

// Every side of the hull against every point.
double breadth_by_all_pairs(const Polygon& convex) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < convex.size(); ++i) {
    const Point side = (convex[(i + 1) % convex.size()] - convex[i]).normalized();
    double most = 0.0;
    for (const Point& p : convex) {
      most =
          std::max(most, std::abs(side.x() * (p - convex[i]).y() - side.y() * (p - convex[i]).x()));
    }
    least = std::min(least, most);
  }
  return least;
}

TEST(LeastBreadth, EqualsTheSearchOverAllPairs) {
  for (const double a : {40.0, 60.0, 100.0}) {
    for (const double turn : {0.0, 0.4, 1.3, 2.9}) {
      Polygon egg = ellipse(a, 40.0, {0, 0}, 97);
      const Eigen::Rotation2Dd rotate(turn);
      for (Point& p : egg) {
        p = rotate * Point(p.x() * (1.0 + 0.002 * p.y()), p.y());
      }
      const double expected = breadth_by_all_pairs(convex_hull(egg));
      EXPECT_NEAR(least_breadth(egg), expected, 1e-9) << a << " turned by " << turn;
      EXPECT_LT(least_breadth(egg), 81.0);
    }
  }
  const Polygon box{{0, 0}, {30, 0}, {30, 8}, {0, 8}};
  EXPECT_DOUBLE_EQ(least_breadth(box), 8.0);
}

TEST(InvertSilhouette, StartedNearItEndsAtTheSameSolid) {
  RestingSolid truth{ellipse(62, 44, {120, -60}, 360), {120, -60}, 36.0, 2.2};
  const Eigen::Vector3d camera(10, 20, 700);
  const Polygon seen = silhouette_on_board(truth, camera);
  ThicknessPrior prior;
  prior.exponent = 2.2;
  const auto cold = invert_silhouette(seen, camera, prior);
  ThicknessPrior thicker = prior;
  thicker.ratio += 0.04;
  const auto other = invert_silhouette(seen, camera, thicker);
  ASSERT_TRUE(cold && other);
  const auto warm = invert_silhouette(seen, camera, prior, other);
  ASSERT_TRUE(warm);
  EXPECT_GT(std::abs(other->half_thickness - cold->half_thickness), 1.0);
  EXPECT_NEAR(warm->half_thickness, cold->half_thickness, 2e-3);
  for (std::size_t i = 0; i < seen.size(); i += 30) {
    EXPECT_LT((warm->section[i] - cold->section[i]).norm(), 2e-3);
  }
}

TEST(InvertSilhouette, SaysNoWhenTheCameraIsTooLow) {
  EXPECT_FALSE(invert_silhouette(ellipse(60, 45, {0, 0}, 64), {0, 0, 90}, {}));
}

}  // namespace
}  // namespace maturity
