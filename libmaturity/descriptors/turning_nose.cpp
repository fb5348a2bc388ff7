#include "libmaturity/descriptors/turning_nose.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libmaturity/descriptors/bend.h"

namespace maturity {

namespace {

/// Where the two directions are taken, as a share of the length.
constexpr double kProfilePlace = 0.75;
/// Half of the arc over which a direction is taken, in L.
constexpr double kDirectionReach = 0.03;

/// Direction of the outline where it crosses x = `at` on one side: angle of the chord around the
/// crossing, towards +x.
struct Heading {
  double angle = 0.0;
  std::size_t side = 0;
  double share = 0.0;
  bool found = false;
};

Point chord_at_crossing(const FramedOutline& outline, std::size_t side, double share,
                        std::ptrdiff_t reach) {
  const auto place = [&](std::ptrdiff_t steps) {
    const Point& a = outline.points[outline.at(side, steps)];
    const Point& b = outline.points[outline.at(side, steps + 1)];
    return Point(a + share * (b - a));
  };
  return place(reach) - place(-reach);
}

std::ptrdiff_t direction_steps(const FramedOutline& outline) {
  return std::max<std::ptrdiff_t>(1,
                                  std::lround(kDirectionReach * outline.length / outline.step()));
}

/// `side` +1: the ventral crossing, which runs towards -x in a counter-clockwise outline.
Heading heading_at(const FramedOutline& outline, double at, int side) {
  Heading best;
  double farthest = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline.points[i];
    const Point& b = outline.points[outline.next(i)];
    if ((a.x() <= at) == (b.x() <= at)) {
      continue;
    }
    const double share = (at - a.x()) / (b.x() - a.x());
    const double y = side * (a.y() + share * (b.y() - a.y()));
    if (!best.found || y > farthest) {
      farthest = y;
      best.side = i;
      best.share = share;
      best.found = true;
    }
  }
  const Point chord = chord_at_crossing(outline, best.side, best.share, direction_steps(outline));
  // Both sides as a walk towards +x, so that the angle stays far from the cut at +-pi.
  best.angle = side > 0 ? std::atan2(-chord.y(), -chord.x()) : std::atan2(chord.y(), chord.x());
  return best;
}

void add_heading(EdgeGradient& gradient, const FramedOutline& outline, const Heading& heading,
                 double factor) {
  const std::ptrdiff_t reach = direction_steps(outline);
  const Point chord = chord_at_crossing(outline, heading.side, heading.share, reach);
  const Point turn = factor * Point(-chord.y(), chord.x()) / chord.squaredNorm();
  const auto place = [&](std::ptrdiff_t steps, double sign) {
    gradient.add(outline.at(heading.side, steps), sign * (1.0 - heading.share) * turn);
    gradient.add(outline.at(heading.side, steps + 1), sign * heading.share * turn);
  };
  place(reach, 1.0);
  place(-reach, -1.0);
}

/// How the heading changes when the crossing moves by one unit of x: curvature over cos(heading).
double heading_rate(const FramedOutline& outline, const Heading& heading) {
  const Bend bend(outline, 2.0 * kDirectionReach * outline.length);
  const double curvature = bend.at(heading.share < 0.5 ? heading.side : outline.next(heading.side));
  return curvature / std::max(0.2, std::cos(heading.angle));
}

}  // namespace

double measure_turning_nose(const FramedOutline& outline, EdgeGradient* gradient) {
  const double low = outline.points[outline.most_proximal].x();
  const double at = low + kProfilePlace * outline.length;
  const Heading ventral = heading_at(outline, at, +1);
  const Heading dorsal = heading_at(outline, at, -1);
  if (gradient != nullptr) {
    const double factor = 1.0 / std::numbers::pi;
    add_heading(*gradient, outline, ventral, factor);
    add_heading(*gradient, outline, dorsal, -factor);
    // Towards +x the ventral heading falls and the dorsal one rises on a convex fruit.
    const double by_place =
        factor * (-heading_rate(outline, ventral) - heading_rate(outline, dorsal));
    // A crossing held by x meets another place of the edge when the edge moves along x.
    for (const Heading* heading : {&ventral, &dorsal}) {
      const std::size_t i = heading->share < 0.5 ? heading->side : outline.next(heading->side);
      gradient->add(i, factor * heading_rate(outline, *heading), 0.0);
    }
    gradient->add_extreme(Extreme::proximal, -(by_place * (1.0 - kProfilePlace)));
    gradient->add_extreme(Extreme::distal, by_place * kProfilePlace);
  }
  // Round the nose from dorsal to ventral the walk turns by half a turn and by what the two
  // headings, both towards +x, differ.
  return 1.0 + (ventral.angle - dorsal.angle) / std::numbers::pi;
}

}  // namespace maturity
