#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "libmaturity/descriptors/edge_error.h"
#include "libmaturity/descriptors/edge_extents.h"
#include "libmaturity/descriptors/edge_noise.h"
#include "libmaturity/descriptors/framed_outline.h"

namespace maturity {

/// How one measured value answers to small movements of the outline: the first-order term from
/// which its standard error follows. Each descriptor adds d(value)/d(point) for the points it
/// rests on; how the value answers to a turn or shift of the frame follows from the same terms.
///
/// Where a value is a greatest of several, or a root or sum of squares near 0, its answer changes
/// within the size of the errors. The gradient is then the mean answer over the errors, and
/// `add_scatter` says what variance that leaves out: the variance of f(errors) is |mean gradient|^2
/// in the covariance of the errors, plus half of |second derivatives|^2 (Hermite expansion), plus
/// terms that are small here.
class EdgeGradient {
 public:
  /// `turn_sd`: by how much the errors turn the axis, radians; 0 where the pose was stated.
  EdgeGradient(const FramedOutline& outline, const EdgeNoise& noise, double turn_sd = 0.0)
      : outline_(&outline),
        noise_(noise),
        turn_sd_(turn_sd),
        error_(noise.sd, noise.correlation_length, outline.step()),
        by_steps_(noise.covariances(outline.step(), outline.size() / 2)),
        extents_(outline, by_steps_),
        normal_(outline.size(), 0.0) {}

  void clear() {
    normal_.assign(normal_.size(), 0.0);
    turn_ = 0.0;
    lift_ = 0.0;
    stem_slide_ = 0.0;
    nose_slide_ = 0.0;
    scatter_ = 0.0;
    by_extreme_.fill(0.0);
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

  /// Adds d(value) per unit outward movement of an extreme of the outline.
  void add_extreme(Extreme side, double g) {
    by_extreme_[static_cast<std::size_t>(side)] += g;
    const Point direction = g * outward(side);
    for (const EdgeExtents::Share& share : extents_.shares(side)) {
      add(share.point, share.chance * direction);
    }
  }
  /// Adds variance beyond the gradient's.
  void add_scatter(double variance) { scatter_ += variance; }

  const FramedOutline& outline() const { return *outline_; }
  const EdgeNoise& noise() const { return noise_; }
  double turn_sd() const { return turn_sd_; }
  const EdgeError& error() const { return error_; }
  /// Covariance of the edge errors of two points so many points apart.
  double covariance(std::size_t steps) const {
    return steps < by_steps_.size() ? by_steps_[steps] : 0.0;
  }
  /// Points apart from which errors have nothing in common.
  std::size_t covariance_reach() const { return by_steps_.size(); }
  /// d(value) per unit outward movement of each point, the frame held.
  const std::vector<double>& normal() const { return normal_; }
  /// d(value) when all points turn about the centre, per radian (the frame turning does the
  /// opposite).
  double turn() const { return turn_; }
  /// d(value) when all points move towards +y, per unit.
  double lift() const { return lift_; }
  double stem_slide() const { return stem_slide_; }
  double nose_slide() const { return nose_slide_; }
  /// Variance beyond that of the gradient.
  double scatter() const {
    double sum = scatter_;
    for (std::size_t side = 0; side < by_extreme_.size(); ++side) {
      sum += by_extreme_[side] * by_extreme_[side] * extents_.scatter(static_cast<Extreme>(side));
    }
    return sum;
  }

 private:
  const FramedOutline* outline_;
  EdgeNoise noise_;
  double turn_sd_;
  EdgeError error_;
  std::vector<double> by_steps_;
  EdgeExtents extents_;
  std::vector<double> normal_;
  double turn_ = 0.0;
  double lift_ = 0.0;
  double stem_slide_ = 0.0;
  double nose_slide_ = 0.0;
  double scatter_ = 0.0;
  std::array<double, 4> by_extreme_{};
};

/// A value with the gradient written on the way; most measures take a pointer that may be null
/// when no error is wanted.
inline void add_if(EdgeGradient* gradient, std::size_t i, double gx, double gy) {
  if (gradient != nullptr) {
    gradient->add(i, gx, gy);
  }
}

/// Sum over all distances, to both sides, of the squares of covariances given for 0, 1, ... steps.
double sum_of_squares_both_ways(std::span<const double> covariance);

/// Adds factor * d(length)/d(points).
void add_length(EdgeGradient* gradient, double factor);
/// Adds factor * d(half width)/d(points) of the ventral (+1) or dorsal (-1) side.
void add_half_width(EdgeGradient* gradient, int side, double factor);
/// Adds factor * d(area)/d(points).
void add_area(EdgeGradient* gradient, const FramedOutline& outline, double factor);
/// Adds factor * d(perimeter)/d(points), and what rough errors make it longer.
void add_perimeter(EdgeGradient* gradient, const FramedOutline& outline, double factor);

}  // namespace maturity
