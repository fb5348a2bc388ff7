#include "libmaturity/core/even_outline.h"

#include <stdexcept>
#include <string>

namespace maturity {

namespace {

std::size_t farthest_from(const Polygon& outline, const Point& centre) {
  std::size_t best = 0;
  double most = (outline[0] - centre).squaredNorm();
  for (std::size_t i = 1; i < outline.size(); ++i) {
    const double squared = (outline[i] - centre).squaredNorm();
    if (squared > most) {
      most = squared;
      best = i;
    }
  }
  return best;
}

/// Walks along the closed line and hands out the mean point of each stretch of arc.
class Walker {
 public:
  Walker(const Polygon& outline, std::size_t start, bool backwards)
      : outline_(outline), at_(start), backwards_(backwards), position_(outline[start]) {
    open_side();
  }

  /// Integral of the position over the next `length` of arc.
  Point take(double length) {
    Point sum = Point::Zero();
    while (length > left_) {
      const Point& corner = outline_[following(at_)];
      sum += left_ * 0.5 * (position_ + corner);
      length -= left_;
      position_ = corner;
      at_ = following(at_);
      open_side();
    }
    const Point end = position_ + length * direction_;
    sum += length * 0.5 * (position_ + end);
    position_ = end;
    left_ -= length;
    return sum;
  }

 private:
  std::size_t following(std::size_t i) const {
    if (backwards_) {
      return i == 0 ? outline_.size() - 1 : i - 1;
    }
    return i + 1 == outline_.size() ? 0 : i + 1;
  }

  void open_side() {
    const Point side = outline_[following(at_)] - position_;
    left_ = side.norm();
    direction_ = left_ > 0.0 ? Point(side / left_) : Point(Point::Zero());
  }

  const Polygon& outline_;
  std::size_t at_;
  bool backwards_;
  Point position_;
  Point direction_ = Point::Zero();
  double left_ = 0.0;
};

}  // namespace

Polygon even_outline(const Polygon& outline, std::size_t count) {
  if (outline.size() < 3 || count < 3) {
    throw std::invalid_argument("even_outline: " + std::to_string(outline.size()) + " points to " +
                                std::to_string(count) + ", both must be at least 3");
  }
  return even_outline(outline, polygon_facts(outline), count);
}

Polygon even_outline(const Polygon& outline, const PolygonFacts& facts, std::size_t count) {
  const double total = facts.perimeter;
  if (!(total > 0.0)) {
    throw std::invalid_argument("even_outline: the outline has no length");
  }
  const double step = total / static_cast<double>(count);
  Walker walker(outline, farthest_from(outline, facts.centroid), facts.signed_area < 0.0);
  // The first stretch is centred on the start: its second half now, its first half at the end.
  const Point first_half = walker.take(0.5 * step);
  Polygon even;
  even.reserve(count);
  even.emplace_back(Point::Zero());
  for (std::size_t i = 1; i < count; ++i) {
    even.emplace_back(walker.take(step) / step);
  }
  // Rounding may leave a hair of the line at the end; taking exactly half a step is harmless.
  even[0] = (first_half + walker.take(0.5 * step)) / step;
  return even;
}

}  // namespace maturity
