#include "libmaturity/descriptors/framed_outline.h"

#include <algorithm>
#include <cmath>

#include "libmaturity/core/nearest_point.h"

namespace maturity {

namespace {

/// Share of the way from point i to its neighbours at which the line comes nearest to the target.
double nearest_share(const FramedOutline& outline, std::size_t i, const Point& target) {
  const Point chord = outline.points[outline.next(i)] - outline.points[outline.before(i)];
  const double squared = chord.squaredNorm();
  const double along =
      squared > 0.0 ? 2.0 * (target - outline.points[i]).dot(chord) / squared : 0.0;
  return std::clamp(along, -0.5, 0.5);
}

void fill_normals(FramedOutline& outline) {
  outline.normals.resize(outline.size());
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point chord = outline.points[outline.next(i)] - outline.points[outline.before(i)];
    const double length = chord.norm();
    outline.normals[i] = length > 0.0 ? Point(chord.y() / length, -chord.x() / length)
                                      : Point(outline.points[i].normalized());
  }
}

void fill_extents(FramedOutline& outline) {
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& p = outline.points[i];
    if (p.x() < outline.points[outline.most_proximal].x()) {
      outline.most_proximal = i;
    }
    if (p.x() > outline.points[outline.most_distal].x()) {
      outline.most_distal = i;
    }
    if (p.y() > outline.points[outline.most_ventral].y()) {
      outline.most_ventral = i;
    }
    if (p.y() < outline.points[outline.most_dorsal].y()) {
      outline.most_dorsal = i;
    }
  }
  outline.length =
      outline.points[outline.most_distal].x() - outline.points[outline.most_proximal].x();
  outline.half_width_ventral = outline.points[outline.most_ventral].y();
  outline.half_width_dorsal = -outline.points[outline.most_dorsal].y();
  outline.width = outline.half_width_ventral + outline.half_width_dorsal;
}

}  // namespace

FramedOutline frame_outline(const Polygon& outline, const Pose& pose) {
  return frame_outline(plain_traits(outline), pose);
}

FramedOutline frame_outline(const OutlineTraits& traits, const Pose& pose) {
  FramedOutline framed;
  framed.side_known = pose.ventral_side != 0;
  // The z component of axis x ventral is ventral_side, so ventral is the axis turned by a right
  // angle towards +y of the screen when it is +1.
  const double side = pose.ventral_side < 0 ? -1.0 : 1.0;
  const Point ventral(-side * pose.axis.y(), side * pose.axis.x());
  const Polygon& outline = traits.points;
  const Point& centre = traits.centre;
  framed.area = std::abs(traits.area);
  framed.perimeter = traits.perimeter;
  framed.points.resize(outline.size());
  // The frame keeps the turning sense when side is +1 and reverses it when -1.
  const bool reverse = traits.area * side < 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point from_centre = outline[reverse ? outline.size() - 1 - i : i] - centre;
    framed.points[i] = Point(from_centre.dot(pose.axis), from_centre.dot(ventral));
  }
  fill_normals(framed);
  fill_extents(framed);
  const auto to_frame = [&](const Point& p) {
    const Point from_centre = p - centre;
    return Point(from_centre.dot(pose.axis), from_centre.dot(ventral));
  };
  framed.stem = nearest_point(framed.points, to_frame(pose.stem));
  framed.nose = nearest_point(framed.points, to_frame(pose.nose));
  framed.stem_share = nearest_share(framed, framed.stem, to_frame(pose.stem));
  framed.nose_share = nearest_share(framed, framed.nose, to_frame(pose.nose));
  framed.hull = traits.hull;
  if (reverse) {
    std::transform(traits.hull.rbegin(), traits.hull.rend(), framed.hull.begin(),
                   [&](std::size_t i) { return outline.size() - 1 - i; });
  }
  return framed;
}

FramedOutline turned_over(const FramedOutline& outline) {
  FramedOutline turned = outline;
  const std::size_t n = outline.size();
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t from = n - 1 - i;
    turned.points[i] = Point(outline.points[from].x(), -outline.points[from].y());
    turned.normals[i] = Point(outline.normals[from].x(), -outline.normals[from].y());
  }
  const auto moved = [n](std::size_t i) { return n - 1 - i; };
  turned.most_proximal = moved(outline.most_proximal);
  turned.most_distal = moved(outline.most_distal);
  turned.most_ventral = moved(outline.most_dorsal);
  turned.most_dorsal = moved(outline.most_ventral);
  turned.half_width_ventral = outline.half_width_dorsal;
  turned.half_width_dorsal = outline.half_width_ventral;
  turned.stem = moved(outline.stem);
  turned.nose = moved(outline.nose);
  turned.stem_share = -outline.stem_share;
  turned.nose_share = -outline.nose_share;
  std::transform(outline.hull.rbegin(), outline.hull.rend(), turned.hull.begin(), moved);
  return turned;
}

}  // namespace maturity
