// Even outlines and hulls of simple polygons, against slow plain twins.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "libmaturity/core/convex_hull.h"
#include "libmaturity/core/even_outline.h"
#include "libmaturity/core/simple_hull.h"

namespace maturity {
namespace {

Polygon star(std::mt19937_64& random, std::size_t points) {
  std::uniform_real_distribution<double> radius(5.0, 10.0);
  Polygon p;
  for (std::size_t i = 0; i < points; ++i) {
    const double t = 2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(points);
    p.emplace_back(radius(random) * Point(std::cos(t), std::sin(t)));
  }
  return p;
}

TEST(SimpleHull, AgreesWithTheHullBySorting) {
  std::mt19937_64 random(6);
  for (int i = 0; i < 200; ++i) {
    Polygon p = star(random, 12 + static_cast<std::size_t>(i));
    if (i % 2 == 1) {
      std::reverse(p.begin(), p.end());
    }
    Polygon mine;
    for (const std::size_t k : simple_polygon_hull(p)) {
      mine.push_back(p[k]);
    }
    EXPECT_NEAR(std::abs(signed_area(mine)), signed_area(convex_hull(p)), 1e-9);
  }
}

TEST(SimpleHull, StraightSidesCutIntoPiecesKeepTheirCorners) {
  const Polygon corners = {Point(0.1, 0.2), Point(7.3, 1.1), Point(6.1, 5.7), Point(0.7, 4.9)};
  const Polygon cut = resample_by_arc_length(corners, 400);
  Polygon hull;
  for (const std::size_t k : simple_polygon_hull(cut)) {
    hull.push_back(cut[k]);
  }
  EXPECT_NEAR(signed_area(hull), signed_area(convex_hull(cut)), 1e-6);
}

TEST(SimpleHull, TooFewPointsComeBack) {
  EXPECT_EQ(simple_polygon_hull({Point(0, 0), Point(1, 0)}).size(), 2U);
  EXPECT_EQ(simple_polygon_hull({Point(0, 0), Point(1, 0), Point(2, 0)}).size(), 2U);
}

TEST(EvenOutline, CircleComesOutInsideByTheStatedAmount) {
  Polygon circle;
  for (int i = 0; i < 20000; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 20000.0;
    circle.emplace_back(10.0 * std::cos(t), 10.0 * std::sin(t));
  }
  const Polygon even = even_outline(circle, 100);
  const double step = 2.0 * std::numbers::pi * 10.0 / 100.0;
  for (const Point& p : even) {
    EXPECT_NEAR(p.norm(), 10.0 - step * step / 240.0, 1e-5);
  }
}

TEST(EvenOutline, StartAndDirectionDoNotMatter) {
  std::mt19937_64 random(9);
  const Polygon p = star(random, 60);
  const Polygon base = even_outline(p, 64);
  Polygon other = p;
  std::rotate(other.begin(), other.begin() + 17, other.end());
  std::reverse(other.begin(), other.end());
  const Polygon again = even_outline(other, 64);
  for (std::size_t i = 0; i < base.size(); ++i) {
    EXPECT_NEAR((base[i] - again[i]).norm(), 0.0, 1e-9);
  }
  EXPECT_GT(signed_area(base), 0.0);
}

TEST(EvenOutline, DenseNoiseAveragesOut) {
  std::mt19937_64 random(10);
  std::normal_distribution<double> noise(0.0, 0.01);
  Polygon rough;
  for (int i = 0; i < 6400; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 6400.0;
    rough.emplace_back((10.0 + noise(random)) * Point(std::cos(t), std::sin(t)));
  }
  double squares = 0.0;
  const Polygon even = even_outline(rough, 64);
  for (const Point& p : even) {
    squares += std::pow(p.norm() - 10.0, 2) / 64.0;
  }
  EXPECT_LT(std::sqrt(squares), 0.01);
}

TEST(EvenOutline, MisuseIsNamed) {
  EXPECT_THROW(even_outline({Point(0, 0), Point(1, 0)}, 10), std::invalid_argument);
  EXPECT_THROW(even_outline({Point(0, 0), Point(1, 0), Point(0, 1)}, 2), std::invalid_argument);
  EXPECT_THROW(even_outline({Point(0, 0), Point(0, 0), Point(0, 0)}, 8), std::invalid_argument);
}

}  // namespace
}  // namespace maturity
