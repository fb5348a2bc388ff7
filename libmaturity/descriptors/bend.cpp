#include "libmaturity/descriptors/bend.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {
/// Reach of the weights to both sides, in L.
constexpr double kLineWindow = 0.08;

/// Most bends are small: five terms of the series are good to 1e-7 and save the slow function.
double angle_between(double cross, double dot) {
  constexpr double kSmall = 0.25;
  const double ratio = dot > 0.0 ? cross / dot : 2.0;
  if (std::abs(ratio) < kSmall) {
    const double r2 = ratio * ratio;
    return ratio * (1.0 - r2 * (1.0 / 3.0 - r2 * (0.2 - r2 * (1.0 / 7.0 - r2 / 9.0))));
  }
  return std::atan2(cross, dot);
}
}  // namespace

Bend::Bend(const FramedOutline& outline, double window) : outline_(outline) {
  // Beyond a third of the points the two chords would meet again on the far side.
  const double most = static_cast<double>(outline.size()) / 3.0;
  const double wanted = std::clamp(window / outline.step(), 1.0, std::max(1.0, most));
  steps_ = static_cast<std::ptrdiff_t>(std::floor(wanted));
  mix_ = wanted - std::floor(wanted);
}

double Bend::chord_bend(std::size_t i, std::ptrdiff_t steps) const {
  const Point& p = outline_.points[i];
  const Point u = p - outline_.points[outline_.at(i, -steps)];
  const Point v = outline_.points[outline_.at(i, steps)] - p;
  const double cross = u.x() * v.y() - u.y() * v.x();
  const double dot = u.dot(v);
  const double squares = u.squaredNorm() + v.squaredNorm();
  // The root of the mean square stands for the mean length: the two chords are nearly equal.
  const double length = std::sqrt(0.5 * squares);
  return angle_between(cross, dot) / length;
}

void Bend::add_chord_bend(EdgeGradient& gradient, std::size_t i, std::ptrdiff_t steps,
                          double factor) const {
  const std::size_t a = outline_.at(i, -steps);
  const std::size_t b = outline_.at(i, steps);
  const Point u = outline_.points[i] - outline_.points[a];
  const Point v = outline_.points[b] - outline_.points[i];
  const double uu = u.squaredNorm();
  const double vv = v.squaredNorm();
  const double length = std::sqrt(0.5 * (uu + vv));
  const double bend = angle_between(u.x() * v.y() - u.y() * v.x(), u.dot(v));
  // angle = angle(v) - angle(u); d angle(w) = (-w.y dw.x + w.x dw.y) / |w|^2.
  const double by_length = -factor * bend / (length * length * length) * 0.5;
  const Point from_u = -factor / length * Point(-u.y(), u.x()) / uu + by_length * u;
  const Point from_v = factor / length * Point(-v.y(), v.x()) / vv + by_length * v;
  gradient.add(a, -from_u);
  gradient.add(i, from_u - from_v);
  gradient.add(b, from_v);
}

void Bend::add(EdgeGradient& gradient, std::size_t i, double factor) const {
  add_chord_bend(gradient, i, steps_, (1.0 - mix_) * factor);
  if (mix_ > 0.0) {
    add_chord_bend(gradient, i, steps_ + 1, mix_ * factor);
  }
}

BendLine::BendLine(const FramedOutline& outline)
    : bend(outline, kLineWindow * outline.length), curvature(outline.size()) {
  for (std::size_t i = 0; i < curvature.size(); ++i) {
    curvature[i] = bend.at(i);
  }
}

std::vector<double> BendLine::covariances(const EdgeNoise& noise) const {
  const double window = bend.window();
  const double step = bend.step();
  const double per_window4 = 1.0 / std::pow(window, 4);
  const std::vector<double> edge = noise.covariances(step, curvature.size());
  // Between whole steps the covariance is read off a straight line.
  const auto at = [&](double apart) {
    const double steps = std::abs(apart) / step;
    const auto whole = static_cast<std::size_t>(steps);
    if (whole + 1 >= edge.size()) {
      return 0.0;
    }
    return edge[whole] + (steps - static_cast<double>(whole)) * (edge[whole + 1] - edge[whole]);
  };
  std::vector<double> values;
  const double nothing = 2.0 * window + static_cast<double>(edge.size()) * step;
  for (double apart = 0.0; apart < nothing && values.size() <= curvature.size() / 2;
       apart += step) {
    values.push_back(per_window4 *
                     (6.0 * at(apart) - 4.0 * at(apart - window) - 4.0 * at(apart + window) +
                      at(apart - 2.0 * window) + at(apart + 2.0 * window)));
  }
  return values;
}

}  // namespace maturity
