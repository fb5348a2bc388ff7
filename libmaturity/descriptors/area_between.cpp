#include "libmaturity/descriptors/area_between.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

/// The part of the side from a to b that is inside the window, as shares of its length.
struct Part {
  double from = 0.0;
  double to = 1.0;
  bool empty() const { return !(to > from); }
};

/// Narrows the part to where value(t) = at_start + t * change >= 0.
void keep_positive(Part& part, double at_start, double change) {
  if (change == 0.0) {
    if (at_start < 0.0) {
      part.to = part.from;
    }
    return;
  }
  const double zero = -at_start / change;
  if (change > 0.0) {
    part.from = std::max(part.from, zero);
  } else {
    part.to = std::min(part.to, zero);
  }
}

Part clip(const Point& a, const Point& b, double low, double high, int side) {
  Part part;
  const Point along = b - a;
  keep_positive(part, a.x() - low, along.x());
  keep_positive(part, high - a.x(), -along.x());
  keep_positive(part, side * a.y(), side * along.y());
  return part;
}

bool outside(const Point& a, const Point& b, double low, double high, int side) {
  return (a.x() < low && b.x() < low) || (a.x() > high && b.x() > high) ||
         (side * a.y() < 0.0 && side * b.y() < 0.0);
}

double place_of(const FramedOutline& outline, double share) {
  return outline.points[outline.most_proximal].x() + share * outline.length;
}

/// Adds what follows from the limit at that share of the length moving with the two ends.
void add_limit(EdgeGradient& gradient, const FramedOutline& outline, double share, int side,
               double factor) {
  const double by_limit = factor * chord_at(outline, place_of(outline, share), side);
  gradient.add_extreme(Extreme::proximal, -(by_limit * (1.0 - share)));
  gradient.add_extreme(Extreme::distal, by_limit * share);
}

}  // namespace

double area_between(const FramedOutline& outline, double low, double high, int side) {
  double sum = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline.points[i];
    const Point& b = outline.points[outline.next(i)];
    if (outside(a, b, low, high, side)) {
      continue;
    }
    const Part part = clip(a, b, low, high, side);
    if (part.empty()) {
      continue;
    }
    const Point along = b - a;
    const double middle = 0.5 * (part.from + part.to);
    sum -= (part.to - part.from) * along.x() * (a.y() + middle * along.y());
  }
  return sum;
}

void add_area_between(EdgeGradient* gradient, const FramedOutline& outline, double low, double high,
                      int side, double factor) {
  if (gradient == nullptr) {
    return;
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const std::size_t j = outline.next(i);
    const Point& a = outline.points[i];
    const Point& b = outline.points[j];
    if (outside(a, b, low, high, side)) {
      continue;
    }
    const Part part = clip(a, b, low, high, side);
    if (part.empty()) {
      continue;
    }
    // Moving the end point moves the side in proportion to the share of the way along it.
    const double share = part.to - part.from;
    const double to_b = 0.5 * (part.to * part.to - part.from * part.from);
    const double to_a = share - to_b;
    const double gx = factor * (b.y() - a.y());
    const double gy = -factor * (b.x() - a.x());
    gradient->add(i, to_a * gx, to_a * gy);
    gradient->add(j, to_b * gx, to_b * gy);
  }
}

double chord_at(const FramedOutline& outline, double at, int side) {
  double sum = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline.points[i];
    const Point& b = outline.points[outline.next(i)];
    if ((a.x() <= at) == (b.x() <= at)) {
      continue;
    }
    const double y = a.y() + (at - a.x()) / (b.x() - a.x()) * (b.y() - a.y());
    const double height = std::max(0.0, side * y);
    // Counter-clockwise: the inside is below sides that run towards -x.
    sum += (b.x() < a.x() ? 1.0 : -1.0) * side * height;
  }
  return sum;
}

double slice_area(const FramedOutline& outline, const Slice& slice, int side) {
  return area_between(outline, place_of(outline, slice.from), place_of(outline, slice.to), side);
}

void add_slice_area(EdgeGradient& gradient, const FramedOutline& outline, const Slice& slice,
                    int side, double factor) {
  add_area_between(&gradient, outline, place_of(outline, slice.from), place_of(outline, slice.to),
                   side, factor);
  // At the very ends the outline itself ends the slice.
  if (slice.from > 0.0) {
    add_limit(gradient, outline, slice.from, side, -factor);
  }
  if (slice.to < 1.0) {
    add_limit(gradient, outline, slice.to, side, factor);
  }
}

}  // namespace maturity
