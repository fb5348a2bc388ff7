#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "libmaturity/core/edge_noise.h"
#include "libmaturity/descriptors/edge_error.h"
#include "libmaturity/descriptors/edge_extents.h"
#include "libmaturity/descriptors/framed_outline.h"
#include "libmaturity/descriptors/pose_errors.h"

namespace maturity {

/// What a value answers to the points moving, the frame turning and the extremes moving with them.
struct EdgeSlopes {
  std::vector<double> normal;
  double turn = 0.0;
  double lift = 0.0;
  std::array<double, 4> by_extreme{};

  /// Adds factor * other.
  void add(const EdgeSlopes& other, double factor) {
    for (std::size_t i = 0; i < normal.size(); ++i) {
      normal[i] += factor * other.normal[i];
    }
    turn += factor * other.turn;
    lift += factor * other.lift;
    for (std::size_t side = 0; side < by_extreme.size(); ++side) {
      by_extreme[side] += factor * other.by_extreme[side];
    }
  }
};

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
  /// `pose`: what the errors do to the pose; null where nothing moves it.
  EdgeGradient(const FramedOutline& outline, const EdgeNoise& noise,
               const PoseErrors* pose = nullptr)
      : outline_(&outline),
        noise_(noise),
        pose_(pose),
        error_(noise.sd, noise.correlation_length, outline.step()),
        by_steps_(noise.covariances(outline.step(), outline.size() / 2)),
        extents_(outline, by_steps_),
        slopes_{std::vector<double>(outline.size(), 0.0)} {}

  void clear() {
    slopes_.normal.assign(slopes_.normal.size(), 0.0);
    slopes_.turn = 0.0;
    slopes_.lift = 0.0;
    slopes_.by_extreme.fill(0.0);
    stem_slide_ = 0.0;
    nose_slide_ = 0.0;
    scatter_ = 0.0;
    turned_.reset();
  }

  /// Adds d(value) per unit of slide of the stem (nose) along the edge, counter-clockwise.
  void add_stem_slide(double g) { stem_slide_ += g; }
  void add_nose_slide(double g) { nose_slide_ += g; }

  void add(std::size_t i, double gx, double gy) {
    const Point& n = outline_->normals[i];
    const Point& p = outline_->points[i];
    slopes_.normal[i] += gx * n.x() + gy * n.y();
    slopes_.turn += gy * p.x() - gx * p.y();
    slopes_.lift += gy;
  }
  void add(std::size_t i, const Point& g) { add(i, g.x(), g.y()); }

  const EdgeSlopes& slopes() const { return slopes_; }
  /// Adds factor times what another gradient of this outline held.
  void add(const EdgeSlopes& slopes, double factor) { slopes_.add(slopes, factor); }

  /// Adds d(value) per unit outward movement of an extreme of the outline.
  void add_extreme(Extreme side, double g) {
    slopes_.by_extreme[static_cast<std::size_t>(side)] += g;
    const Point direction = g * outward(side);
    for (const EdgeExtents::Share& share : extents_.shares(side)) {
      add(share.point, share.chance * direction);
    }
  }
  /// Says how the value answers to the axis turning where that is not straight: it takes the place
  /// of what follows from the points.
  void set_turned(const TurnAnswer& answer) { turned_ = answer; }
  const std::optional<TurnAnswer>& turned() const { return turned_; }
  /// Adds variance beyond the gradient's.
  void add_scatter(double variance) { scatter_ += variance; }

  const FramedOutline& outline() const { return *outline_; }
  const EdgeNoise& noise() const { return noise_; }
  const PoseErrors* pose() const { return pose_; }
  /// By how much the errors turn the axis, radians; 0 where the pose was stated.
  double turn_sd() const { return pose_ != nullptr ? pose_->turn_sd() : 0.0; }
  const EdgeError& error() const { return error_; }
  /// Covariance of the edge errors of two points so many points apart.
  double covariance(std::size_t steps) const {
    return steps < by_steps_.size() ? by_steps_[steps] : 0.0;
  }
  /// Points apart from which errors have nothing in common.
  std::size_t covariance_reach() const { return by_steps_.size(); }
  /// d(value) per unit outward movement of each point, the frame held.
  const std::vector<double>& normal() const { return slopes_.normal; }
  /// d(value) when all points turn about the centre, per radian (the frame turning does the
  /// opposite).
  double turn() const { return slopes_.turn; }
  /// d(value) when all points move towards +y, per unit.
  double lift() const { return slopes_.lift; }
  double stem_slide() const { return stem_slide_; }
  double nose_slide() const { return nose_slide_; }
  /// Variance beyond that of the gradient.
  double scatter() const {
    double sum = scatter_;
    for (std::size_t side = 0; side < slopes_.by_extreme.size(); ++side) {
      sum += slopes_.by_extreme[side] * slopes_.by_extreme[side] *
             extents_.scatter(static_cast<Extreme>(side));
    }
    return sum;
  }

 private:
  const FramedOutline* outline_;
  EdgeNoise noise_;
  const PoseErrors* pose_;
  EdgeError error_;
  std::vector<double> by_steps_;
  EdgeExtents extents_;
  EdgeSlopes slopes_;
  double stem_slide_ = 0.0;
  double nose_slide_ = 0.0;
  double scatter_ = 0.0;
  std::optional<TurnAnswer> turned_;
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
