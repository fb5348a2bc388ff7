#pragma once

#include <cmath>
#include <cstddef>
#include <vector>

#include "libmaturity/descriptors/framed_outline.h"

namespace maturity {

/// How one measured value answers to small movements of the outline: the first-order term from
/// which its standard error follows. Each descriptor adds d(value)/d(point) for the points it
/// rests on; how the value answers to a turn or shift of the frame follows from the same terms.
class EdgeGradient {
 public:
  explicit EdgeGradient(const FramedOutline& outline)
      : outline_(&outline), normal_(outline.size(), 0.0) {}

  void clear() {
    normal_.assign(normal_.size(), 0.0);
    turn_ = 0.0;
    lift_ = 0.0;
    stem_slide_ = 0.0;
    nose_slide_ = 0.0;
  }

  /// Adds d(value) per unit of slide of the stem (nose) along the edge, counter-clockwise.
  void add_stem_slide(double g) { stem_slide_ += g; }
  void add_nose_slide(double g) { nose_slide_ += g; }

  void add(std::size_t i, double gx, double gy) {
    const Point& n = outline_->normals[i];
    const Point& p = outline_->points[i];
    normal_[i] += gx * n.x() + gy * n.y();
    turn_ += gy * p.x() - gx * p.y();
    lift_ += gy;
  }
  void add(std::size_t i, const Point& g) { add(i, g.x(), g.y()); }

  const FramedOutline& outline() const { return *outline_; }
  /// d(value) per unit outward movement of each point, the frame held.
  const std::vector<double>& normal() const { return normal_; }
  /// d(value) when all points turn about the centre, per radian (the frame turning does the
  /// opposite).
  double turn() const { return turn_; }
  /// d(value) when all points move towards +y, per unit.
  double lift() const { return lift_; }
  double stem_slide() const { return stem_slide_; }
  double nose_slide() const { return nose_slide_; }

 private:
  const FramedOutline* outline_;
  std::vector<double> normal_;
  double turn_ = 0.0;
  double lift_ = 0.0;
  double stem_slide_ = 0.0;
  double nose_slide_ = 0.0;
};

/// A value with the gradient written on the way; most measures take a pointer that may be null
/// when no error is wanted.
inline void add_if(EdgeGradient* gradient, std::size_t i, double gx, double gy) {
  if (gradient != nullptr) {
    gradient->add(i, gx, gy);
  }
}

/// Adds factor * d(length)/d(points).
void add_length(EdgeGradient* gradient, const FramedOutline& outline, double factor);
/// Adds factor * d(half width)/d(points) of the ventral (+1) or dorsal (-1) side.
void add_half_width(EdgeGradient* gradient, const FramedOutline& outline, int side, double factor);
/// Adds factor * d(area)/d(points).
void add_area(EdgeGradient* gradient, const FramedOutline& outline, double factor);
/// Adds factor * d(perimeter)/d(points).
void add_perimeter(EdgeGradient* gradient, const FramedOutline& outline, double factor);

}  // namespace maturity
