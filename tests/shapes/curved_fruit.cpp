#include "tests/shapes/curved_fruit.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "libmaturity/core/polygon.h"

namespace maturity::shapes {

namespace {

constexpr int kSteps = 400;

/// From (end, 0), where the edge stands across the axis, to (widest, half), where it runs along.
Polygon quarter(double end, double widest, double half, double end_handle, double flank_handle) {
  const std::array<Point, 4> corners = {Point(end, 0.0), Point(end, half * end_handle),
                                        Point(widest - (widest - end) * flank_handle, half),
                                        Point(widest, half)};
  Polygon line;
  for (int k = 0; k < kSteps; ++k) {
    const double t = static_cast<double>(k) / kSteps;
    const double u = 1.0 - t;
    line.push_back(u * u * u * corners[0] + 3.0 * t * u * u * corners[1] +
                   3.0 * t * t * u * corners[2] + t * t * t * corners[3]);
  }
  return line;
}

}  // namespace

InventedFruit invent_curved_fruit(const CurvedParameters& parameters, double length,
                                  std::size_t points, std::mt19937_64& random) {
  const CurvedParameters& f = parameters;
  const double half = 0.5 / f.elongation;
  Polygon line;
  const auto append = [&](double end, double side, double handle, bool from_end) {
    Polygon one = quarter(end, f.widest, side * half, handle, f.flank);
    if (!from_end) {
      // The meeting points belong to the quarter that starts there.
      one.push_back(Point(f.widest, side * half));
      std::reverse(one.begin(), one.end());
      one.pop_back();
    }
    line.insert(line.end(), one.begin(), one.end());
  };
  append(0.0, +1.0, f.shoulder_ventral, true);
  append(1.0, +1.0, f.nose, false);
  append(1.0, -1.0, f.nose, true);
  append(0.0, -1.0, f.shoulder_dorsal, false);
  for (Point& p : line) {
    const double x = p.x() - 0.5;
    p = Point(x, p.y() + f.bow * (4.0 * x * x - 0.4));
  }
  const Polygon base = resample_by_arc_length(line, points);
  const auto tip = std::max_element(base.begin(), base.end(),
                                    [](const Point& p, const Point& q) { return p.x() < q.x(); });
  return add_features(base, static_cast<std::size_t>(tip - base.begin()), f.stem_place, f.features,
                      length, random);
}

}  // namespace maturity::shapes
