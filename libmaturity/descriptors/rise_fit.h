#pragma once

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

#include "libmaturity/descriptors/edge_rise.h"

namespace maturity {

/// All limits of a stretch are soft over this much, in L.
inline constexpr double kSoftlyOver = 0.02;

/// 0 below the limit, 1 above, rising over kSoftlyOver; both in L.
inline double beyond_softly(double distance, double limit) {
  return std::clamp((distance - limit) / kSoftlyOver + 0.5, 0.0, 1.0);
}

/// Least squares of heights on a constant, the place along the chord and the squared distance: with
/// the last as a term the fit is exact on circles. `core`: means of the terms over the core.
struct RiseFit {
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  Eigen::Vector3d core = Eigen::Vector3d::UnitX();
  double core_height = 0.0;
};

/// A point of a stretch: place along its chord, squared distance and height, over L.
struct RisePoint {
  double x = 0.0;
  double q = 0.0;
  double height = 0.0;
};

/// The edge about a place: chord of the whole stretch, and what is asked of each point.
class RiseStretch {
 public:
  RiseStretch(const FramedOutline& outline, std::size_t at, std::ptrdiff_t reach)
      : outline_(outline),
        at_(at),
        first_(outline.at(at, -reach)),
        per_square_(1.0 / (outline.length * outline.length)) {
    const Point across = outline.points[outline.at(at, reach)] - outline.points[first_];
    along_ = across.normalized() / outline.length;
  }

  std::size_t first() const { return first_; }
  /// Unit vectors.
  Point outward() const { return Point(along_.y(), -along_.x()) * outline_.length; }
  Point along() const { return along_ * outline_.length; }
  RisePoint see(std::size_t i) const {
    const double dx = outline_.points[i].x() - outline_.points[at_].x();
    const double dy = outline_.points[i].y() - outline_.points[at_].y();
    return {dx * along_.x() + dy * along_.y(), (dx * dx + dy * dy) * per_square_,
            dx * along_.y() - dy * along_.x()};
  }

 private:
  const FramedOutline& outline_;
  std::size_t at_;
  std::size_t first_;
  double per_square_;
  Point along_;
};

/// Weight as edge beside the place, 0 to 1, by what is left out.
class RiseLeaving {
 public:
  RiseLeaving(const FramedOutline& outline, std::size_t at, std::ptrdiff_t reach,
              const std::optional<LeftOut>& out)
      : step_(outline.step() / outline.length) {
    if (out) {
      const auto n = static_cast<std::ptrdiff_t>(outline.size());
      const auto off = static_cast<std::ptrdiff_t>(at) - static_cast<std::ptrdiff_t>(out->around);
      const auto turns = std::lround(static_cast<double>(off) / static_cast<double>(n));
      shift_ = off - n * static_cast<std::ptrdiff_t>(turns) - reach;
      within_ = out->within;
    }
  }

  double weight(std::size_t k) const {
    if (!within_) {
      return 1.0;
    }
    const std::ptrdiff_t away = static_cast<std::ptrdiff_t>(k) + shift_;
    return beyond_softly(std::abs(static_cast<double>(away)) * step_, *within_);
  }

 private:
  double step_;
  std::ptrdiff_t shift_ = 0;
  std::optional<double> within_;
};

/// Weights of the points about a place of that outline.
RiseWeights weigh_rise(const FramedOutline& outline, const RiseWindow& window);

/// Fits the edge beside the place, without what is left out.
RiseFit fit_beside(const FramedOutline& outline, const RiseStretch& stretch,
                   const RiseLeaving& leaving, const RiseWeights& around);

}  // namespace maturity
