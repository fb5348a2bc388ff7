#include "libmaturity/descriptors/check_outline.h"

#include <cmath>
#include <sstream>
#include <stdexcept>
#include <utility>

namespace maturity {

namespace {

constexpr std::size_t kFewestPoints = 16;
/// Area over perimeter squared below which an outline is a line (a fruit has about 0.07).
constexpr double kLeastArea = 1e-9;

void check_coordinates(const Polygon& outline) {
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& p = outline[i];
    const bool finite = std::isfinite(p.x()) && std::isfinite(p.y());
    if (finite && p.cwiseAbs().maxCoeff() <= kLargestCoordinate) {
      continue;
    }
    std::ostringstream text;
    text << "outline: point " << i << " is (" << p.x() << ", " << p.y() << "), "
         << (finite ? "coordinates must lie within -1e7 to 1e7" : "coordinates must be finite");
    throw std::invalid_argument(text.str());
  }
}

/// True when the outline winds once round its centre without ever turning back as seen from there:
/// then no two sides cross. Fruit nearly always pass, and it costs a fraction of a full test.
bool seen_whole_from_centre(const Polygon& outline, const PolygonFacts& facts) {
  const Point& centre = facts.centroid;
  const double sign = facts.signed_area > 0.0 ? 1.0 : -1.0;
  std::size_t windings = 0;
  Point a = outline.back() - centre;
  for (const Point& p : outline) {
    const Point b = p - centre;
    if (!(sign * (a.x() * b.y() - a.y() * b.x()) > 0.0)) {
      return false;
    }
    // Crossings of the half line to the right of the centre: exactly one per winding.
    const bool upward = sign > 0.0 ? (a.y() < 0.0 && b.y() >= 0.0) : (a.y() >= 0.0 && b.y() < 0.0);
    windings += upward ? 1 : 0;
    a = b;
  }
  return windings == 1;
}

}  // namespace

CheckedOutline checked_outline(const Polygon& outline) {
  check_coordinates(outline);
  Polygon distinct;
  distinct.reserve(outline.size());
  for (const Point& p : outline) {
    if (distinct.empty() || p != distinct.back()) {
      distinct.push_back(p);
    }
  }
  while (distinct.size() > 1 && distinct.front() == distinct.back()) {
    distinct.pop_back();
  }
  if (distinct.size() < kFewestPoints) {
    throw std::invalid_argument("outline: " + std::to_string(distinct.size()) +
                                " different points, at least 16 are needed");
  }
  const PolygonFacts facts = polygon_facts(distinct);
  const double area = std::abs(facts.signed_area);
  if (!(area > kLeastArea * facts.perimeter * facts.perimeter)) {
    std::ostringstream text;
    text << "outline: its area is " << area << " at a perimeter of " << facts.perimeter
         << ", it must enclose something (and not cross itself)";
    throw std::invalid_argument(text.str());
  }
  if (!seen_whole_from_centre(distinct, facts) && !is_simple(distinct)) {
    throw std::invalid_argument(
        "outline: two of its sides cross or touch, it must be a simple closed polygon");
  }
  return {std::move(distinct), facts};
}

}  // namespace maturity
