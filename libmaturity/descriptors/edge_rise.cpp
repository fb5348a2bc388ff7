#include "libmaturity/descriptors/edge_rise.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

#include "libmaturity/descriptors/greatest.h"

namespace maturity {

namespace {

constexpr double kSoft = 0.02;  // in L
/// Chance below which a place is not looked at.
constexpr double kUnlikely = 0.01;
/// Distances, in points, over which places that compete may be alike.
constexpr std::size_t kMostLags = 24;
constexpr std::size_t kMostPoints = RiseWeights::kMostPoints;

/// 0 below the limit, 1 above, rising over kSoft.
double beyond(double distance, double limit) {
  return std::clamp((distance - limit) / kSoft + 0.5, 0.0, 1.0);
}

RiseWeights weigh(const FramedOutline& outline, const RiseWindow& window) {
  RiseWeights around;
  const double step = outline.step() / outline.length;
  const auto most = static_cast<std::ptrdiff_t>(std::min(kMostPoints, outline.size()) - 1) / 2;
  around.reach = std::min(most, static_cast<std::ptrdiff_t>((window.reach + kSoft) / step) + 1);
  around.count = static_cast<std::size_t>(2 * around.reach + 1);
  double sum = 0.0;
  for (std::size_t k = 0; k < around.count; ++k) {
    const double distance =
        std::abs(static_cast<double>(k) - static_cast<double>(around.reach)) * step;
    around.beside[k] = beyond(distance, window.gap) * (1.0 - beyond(distance, window.reach));
    around.core[k] = 1.0 - beyond(distance, window.core);
    if (window.hole > 0.0) {
      around.core[k] *= beyond(distance, window.hole);
    }
    sum += around.core[k];
  }
  for (std::size_t k = 0; k < around.count; ++k) {
    around.core[k] /= sum;
  }
  around.gap = around.count / 2;
  while (around.gap > 0 && around.beside[around.gap - 1] == 0.0) {
    --around.gap;
  }
  while (around.core_from < around.count / 2 && around.core[around.core_from] == 0.0) {
    ++around.core_from;
  }
  return around;
}

/// Least squares of heights on a constant, the place along the chord and the squared distance: with
/// the last as a term the fit is exact on circles. `core`: means of the terms over the core.
struct Fit {
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  Eigen::Vector3d core = Eigen::Vector3d::UnitX();
  double core_height = 0.0;
};

/// A point of a stretch: place along its chord, squared distance and height, over L.
struct Seen {
  double x = 0.0;
  double q = 0.0;
  double height = 0.0;
};

/// The edge about a place: chord of the whole stretch, and what is asked of each point.
class Stretch {
 public:
  Stretch(const FramedOutline& outline, std::size_t at, std::ptrdiff_t reach)
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
  Seen see(std::size_t i) const {
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
class Leaving {
 public:
  Leaving(const FramedOutline& outline, std::size_t at, std::ptrdiff_t reach,
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
    return beyond(std::abs(static_cast<double>(away)) * step_, *within_);
  }

 private:
  double step_;
  std::ptrdiff_t shift_ = 0;
  std::optional<double> within_;
};

/// Weighted sums over the edge beside a place.
struct Sums {
  double w0 = 0.0;
  double wx = 0.0;
  double wq = 0.0;
  double wxx = 0.0;
  double wxq = 0.0;
  double wqq = 0.0;
  double h0 = 0.0;
  double hx = 0.0;
  double hq = 0.0;

  void add(double w, const Seen& seen) {
    const double x = w * seen.x;
    const double q = w * seen.q;
    w0 += w;
    wx += x;
    wq += q;
    wxx += x * seen.x;
    wxq += x * seen.q;
    wqq += q * seen.q;
    h0 += w * seen.height;
    hx += x * seen.height;
    hq += q * seen.height;
  }
};

Fit fit_edge(const FramedOutline& outline, const Stretch& stretch, const Leaving& leaving,
             const RiseWeights& around) {
  Sums sums;
  const auto add_beside = [&](std::size_t from, std::size_t to) {
    std::size_t i = outline.at(stretch.first(), static_cast<std::ptrdiff_t>(from));
    for (std::size_t k = from; k < to; ++k, i = outline.next(i)) {
      sums.add(around.beside[k] * leaving.weight(k), stretch.see(i));
    }
  };
  add_beside(0, around.gap);
  add_beside(around.count - around.gap, around.count);
  Fit fit;
  fit.core(1) = fit.core(2) = 0.0;
  std::size_t i = outline.at(stretch.first(), static_cast<std::ptrdiff_t>(around.core_from));
  for (std::size_t k = around.core_from; k < around.count - around.core_from; ++k) {
    const Seen seen = stretch.see(i);
    fit.core(1) += around.core[k] * seen.x;
    fit.core(2) += around.core[k] * seen.q;
    fit.core_height += around.core[k] * seen.height;
    i = outline.next(i);
  }
  fit.right << sums.h0, sums.hx, sums.hq;
  fit.normal << sums.w0, sums.wx, sums.wq, sums.wx, sums.wxx, sums.wxq, sums.wq, sums.wxq, sums.wqq;
  return fit;
}

/// d(height)/d(point - place) of every point of the stretch; without what follows from the length.
std::vector<Point> answers_of(const FramedOutline& outline, const EdgeRise& rise) {
  const RiseWeights around = weigh(outline, rise.window);
  const Stretch stretch(outline, rise.at, around.reach);
  const Leaving leaving(outline, rise.at, around.reach, rise.left_out);
  const Fit fit = fit_edge(outline, stretch, leaving, around);
  const Eigen::Matrix3d inverse = fit.normal.inverse();
  // What each height counts for: its share in the core less what the fit takes from it.
  const Eigen::Vector3d solved = inverse * fit.core;
  const Eigen::Vector3d line = inverse * fit.right;
  const double per_length = 1.0 / outline.length;
  const Point outward = per_length * stretch.outward();
  const Point along = per_length * stretch.along();
  std::vector<Point> answers(around.count);
  std::size_t i = stretch.first();
  for (std::size_t k = 0; k < around.count; ++k, i = outline.next(i)) {
    const double beside = around.beside[k] * leaving.weight(k);
    const Seen seen = stretch.see(i);
    const double taken = solved(0) + solved(1) * seen.x + solved(2) * seen.q;
    const double weight = around.core[k] - beside * taken;
    const double left = seen.height - line(0) - line(1) * seen.x - line(2) * seen.q;
    // A point that moves changes its height, and its place in the fit: x by `along`, the squared
    // distance by twice the way to it.
    const Point by_square =
        2.0 * per_length * per_length * (outline.points[i] - outline.points[rise.at]);
    answers[k] = weight * (outward - line(1) * along - line(2) * by_square) -
                 beside * left * (solved(1) * along + solved(2) * by_square);
  }
  return answers;
}

std::size_t first_of(const FramedOutline& outline, const EdgeRise& rise, std::size_t count) {
  return outline.at(rise.at, -static_cast<std::ptrdiff_t>(count / 2));
}

}  // namespace

void add_rise(EdgeGradient& gradient, const FramedOutline& outline, const EdgeRise& rise,
              double factor) {
  const std::vector<Point> answers = answers_of(outline, rise);
  std::size_t i = first_of(outline, rise, answers.size());
  Point sum = Point::Zero();
  for (const Point& answer : answers) {
    gradient.add(i, factor * answer);
    sum += answer;
    i = outline.next(i);
  }
  // All is measured from the place itself.
  gradient.add(rise.at, -factor * sum);
  add_length(&gradient, -factor * rise.height / outline.length);
}

std::vector<double> rise_covariances(const EdgeGradient& gradient, const EdgeRise& rise) {
  const FramedOutline& outline = gradient.outline();
  const std::vector<Point> answers = answers_of(outline, rise);
  std::vector<double> weights;
  std::size_t i = first_of(outline, rise, answers.size());
  for (const Point& answer : answers) {
    weights.push_back(answer.dot(outline.normals[i]));
    i = outline.next(i);
  }
  return gradient.error().covariances(weights, kMostLags);
}

void add_highest(EdgeGradient& gradient, const FramedOutline& outline,
                 std::span<const RisePlace> places, double sign, double factor) {
  const auto lower = [sign](const RisePlace& a, const RisePlace& b) {
    return sign * a.height() < sign * b.height();
  };
  const RisePlace& highest = *std::max_element(places.begin(), places.end(), lower);
  const std::vector<double> covariance = rise_covariances(gradient, highest.first);
  const double reach = Greatest::kOutOfReach * std::sqrt(covariance[0]);
  std::vector<const RisePlace*> near;
  for (const RisePlace& place : places) {
    if (sign * (highest.height() - place.height()) <= reach) {
      near.push_back(&place);
    }
  }
  const std::size_t stride = near.size() / Greatest::kMost + 1;
  Greatest greatest;
  for (std::size_t k = 0; k < near.size(); k += stride) {
    greatest.add(sign * near[k]->height());
  }
  for (std::size_t a = 0; a < greatest.size(); ++a) {
    for (std::size_t b = a; b < greatest.size(); ++b) {
      const std::size_t lag =
          outline.steps_apart(near[a * stride]->first.at, near[b * stride]->first.at);
      greatest.set_covariance(a, b, lag < covariance.size() ? covariance[lag] : 0.0);
    }
  }
  greatest.solve();
  for (std::size_t a = 0; a < greatest.size(); ++a) {
    if (greatest.chance(a) > kUnlikely) {
      const RisePlace& place = *near[a * stride];
      const double chance = factor * greatest.chance(a);
      if (place.share < 1.0) {
        add_rise(gradient, outline, place.first, chance * (1.0 - place.share));
      }
      if (place.share > 0.0) {
        add_rise(gradient, outline, place.second, chance * place.share);
      }
    }
  }
  gradient.add_scatter(factor * factor * greatest.scatter());
}

EdgeRises::EdgeRises(const FramedOutline& outline, const RiseWindow& window)
    : outline_(outline), window_(window), weights_(weigh(outline, window)) {}

EdgeRise EdgeRises::at(std::size_t i, const std::optional<LeftOut>& left_out) const {
  const Stretch stretch(outline_, i, weights_.reach);
  const Leaving leaving(outline_, i, weights_.reach, left_out);
  const Fit fit = fit_edge(outline_, stretch, leaving, weights_);
  const double below = fit.core.dot(fit.normal.inverse() * fit.right);
  return {fit.core_height - below, i, window_, left_out};
}

RisePlace EdgeRises::between(std::size_t i, double steps,
                             const std::optional<LeftOut>& left_out) const {
  const double whole = std::floor(steps);
  const std::size_t first = outline_.at(i, static_cast<std::ptrdiff_t>(whole));
  RisePlace place;
  place.first = at(first, left_out);
  place.share = steps - whole;
  place.second = place.share > 0.0 ? at(outline_.next(first), left_out) : place.first;
  return place;
}

}  // namespace maturity
