#include "libmaturity/descriptors/shoulder_rise.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "libmaturity/descriptors/greatest.h"
#include "libmaturity/descriptors/greatest_above.h"

namespace maturity {

namespace {

/// Heights of the places on one side in front of the stem, with what moves them: their own edge,
/// the stem's, the stem sliding along the edge, the axis turning.
class Fronts {
 public:
  Fronts(const EdgeGradient& gradient, const FramedOutline& outline, int side, const Point& stem)
      : gradient_(gradient), outline_(outline), stem_(stem) {
    beside_ = outline.stem_share < 0.0 ? outline.before(outline.stem) : outline.next(outline.stem);
    share_ = std::abs(outline.stem_share);
    slope_ = -outline.normals[outline.stem].y();
    std::vector<std::size_t> all;
    double sure = 0.0;
    for (std::size_t i = 0; i < outline.size(); ++i) {
      // Only the proximal third matters, and saves looking.
      if (side * (outline.points[i].y() - stem.y()) > 0.0 && outline.along(i) < kProximal) {
        all.push_back(i);
        sure = std::max(sure, height(i) - Greatest::kOutOfReach * rough_sd(i));
      }
    }
    std::erase_if(
        all, [&](std::size_t i) { return height(i) + Greatest::kOutOfReach * rough_sd(i) < sure; });
    const auto most = static_cast<std::size_t>(GreatestAbove::kMost);
    const std::size_t stride = (all.size() + most - 1) / most;
    for (std::size_t k = 0; k < all.size(); k += stride) {
      points_.push_back(all[k]);
    }
    for (const std::size_t i : points_) {
      with_stem_.push_back(edge_with_stem(i));
      if (const PoseErrors* pose = gradient.pose()) {
        with_turn_.push_back(outline.normals[i].x() * pose->turn_with(i));
        with_slide_.push_back(outline.normals[i].x() * pose->stem_with(i));
      }
    }
    stem_variance_ = at_stem([&](std::size_t i) { return edge_with_stem(i); });
    if (const PoseErrors* pose = gradient.pose()) {
      stem_with_turn_ =
          at_stem([&](std::size_t i) { return outline.normals[i].x() * pose->turn_with(i); });
      stem_with_slide_ =
          at_stem([&](std::size_t i) { return outline.normals[i].x() * pose->stem_with(i); });
    }
  }

  const std::vector<std::size_t>& points() const { return points_; }

  Eigen::VectorXd heights() const {
    const double turn = gradient_.pose() != nullptr ? gradient_.pose()->response().mean_turn : 0.0;
    Eigen::VectorXd values(static_cast<Eigen::Index>(points_.size()));
    for (std::size_t a = 0; a < points_.size(); ++a) {
      values(static_cast<Eigen::Index>(a)) = height(points_[a]) + turn * lever(points_[a]);
    }
    return values;
  }

  Eigen::MatrixXd covariance() const {
    const auto n = static_cast<Eigen::Index>(points_.size());
    Eigen::MatrixXd result(n, n);
    for (std::size_t a = 0; a < points_.size(); ++a) {
      for (std::size_t b = a; b < points_.size(); ++b) {
        const double c = covariance_of(a, b);
        result(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)) = c;
        result(static_cast<Eigen::Index>(b), static_cast<Eigen::Index>(a)) = c;
      }
    }
    return result;
  }

  /// Adds factor * d(height of that one of points())/d(points).
  void add(EdgeGradient& gradient, std::size_t k, double factor) const {
    gradient.add(points_[k], -factor, 0.0);
    gradient.add(outline_.stem, (1.0 - share_) * factor, 0.0);
    gradient.add(beside_, share_ * factor, 0.0);
    gradient.add_stem_slide(by_slide(points_[k]) * factor);
  }

 private:
  static constexpr double kProximal = 0.35;

  double height(std::size_t i) const { return stem_.x() - outline_.points[i].x(); }
  /// Change of the height per radian of the axis.
  double lever(std::size_t i) const { return stem_.y() - outline_.points[i].y(); }
  /// Change per unit by which the stem slides, the place keeping its distance from it: a place that
  /// the stem has passed is on the other side and counts no more.
  double by_slide(std::size_t i) const { return slope_ + outline_.normals[i].y(); }
  double rough_sd(std::size_t i) const {
    double variance = 2.0 * gradient_.covariance(0);
    if (const PoseErrors* pose = gradient_.pose()) {
      variance += lever(i) * lever(i) * pose->turn_variance() +
                  by_slide(i) * by_slide(i) * pose->stem_variance();
    }
    return std::sqrt(variance);
  }
  template <typename Of>
  double at_stem(const Of& of) const {
    return (1.0 - share_) * of(outline_.stem) + share_ * of(beside_);
  }
  double edge(std::size_t i, std::size_t j) const {
    return gradient_.covariance(outline_.steps_apart(i, j)) * outline_.normals[i].x() *
           outline_.normals[j].x();
  }
  double edge_with_stem(std::size_t i) const {
    return at_stem([&](std::size_t j) { return edge(i, j); });
  }
  double covariance_of(std::size_t a, std::size_t b) const {
    double sum = edge(points_[a], points_[b]) - with_stem_[a] - with_stem_[b] + stem_variance_;
    const PoseErrors* pose = gradient_.pose();
    if (pose == nullptr) {
      return sum;
    }
    // Each height moves by its edge, minus the stem's, plus lever * turn plus slope * slide.
    const double lever_a = lever(points_[a]);
    const double lever_b = lever(points_[b]);
    const auto moved_with_turn = [&](std::size_t k) { return stem_with_turn_ - with_turn_[k]; };
    const auto moved_with_slide = [&](std::size_t k) { return stem_with_slide_ - with_slide_[k]; };
    sum += lever_b * moved_with_turn(a) + lever_a * moved_with_turn(b);
    const double slide_a = by_slide(points_[a]);
    const double slide_b = by_slide(points_[b]);
    sum += slide_b * moved_with_slide(a) + slide_a * moved_with_slide(b);
    sum += lever_a * lever_b * pose->turn_variance() + slide_a * slide_b * pose->stem_variance();
    return sum + (slide_a * lever_b + slide_b * lever_a) * pose->turn_stem_covariance();
  }

  const EdgeGradient& gradient_;
  const FramedOutline& outline_;
  Point stem_;
  /// The stem lies this share of the way from its point to the one beside it.
  std::size_t beside_ = 0;
  double share_ = 0.0;
  /// Change of the stem's place along the axis per unit of slide.
  double slope_ = 0.0;
  std::vector<std::size_t> points_;
  std::vector<double> with_stem_;
  std::vector<double> with_turn_;
  std::vector<double> with_slide_;
  double stem_variance_ = 0.0;
  double stem_with_turn_ = 0.0;
  double stem_with_slide_ = 0.0;
};

/// Adds the answer of the foremost place on that side, the stem itself (a rise of 0) among those
/// that may be the foremost.
void add_foremost(EdgeGradient& gradient, const FramedOutline& outline, int side,
                  const Point& stem) {
  const Fronts fronts(gradient, outline, side, stem);
  if (fronts.points().empty()) {
    return;
  }
  const Eigen::MatrixXd covariance = fronts.covariance();
  const GreatestAbove foremost = greatest_above_zero(fronts.heights(), covariance);
  const double per_length = 1.0 / outline.length;
  for (std::size_t k = 0; k < foremost.chance.size(); ++k) {
    if (foremost.chance[k] > 0.0) {
      fronts.add(gradient, k, foremost.chance[k] * per_length);
    }
  }
  const Eigen::Map<const Eigen::VectorXd> chance(foremost.chance.data(),
                                                 static_cast<Eigen::Index>(foremost.chance.size()));
  const double through = chance.dot(covariance * chance);
  gradient.add_scatter(std::max(0.0, foremost.variance - through) * per_length * per_length);
}

}  // namespace

double measure_shoulder_rise(const FramedOutline& outline, int side, EdgeGradient* gradient) {
  const Point stem = outline.between(outline.stem, outline.stem_share);
  double least = stem.x();
  for (const Point& p : outline.points) {
    if (side * (p.y() - stem.y()) > 0.0) {
      least = std::min(least, p.x());
    }
  }
  const double value = (stem.x() - least) / outline.length;
  if (gradient != nullptr) {
    add_foremost(*gradient, outline, side, stem);
    add_length(gradient, -value / outline.length);
  }
  return value;
}

}  // namespace maturity
