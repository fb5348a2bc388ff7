#include <algorithm>
#include <cmath>
#include <vector>

#include "libmaturity/descriptors/edge_rise.h"
#include "libmaturity/descriptors/greatest.h"
#include "libmaturity/descriptors/rise_fit.h"

namespace maturity {

namespace {

/// Chance below which a place is not looked at.
constexpr double kUnlikely = 0.01;

/// d(height)/d(point - place) of every point of the stretch; without what follows from the length.
std::vector<Point> answers_of(const FramedOutline& outline, const RiseWeights& around,
                              const EdgeRise& rise) {
  const RiseStretch stretch(outline, rise.at, around.reach);
  const RiseLeaving leaving(outline, rise.at, around.reach, rise.left_out);
  const RiseFit fit = fit_beside(outline, stretch, leaving, around);
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
    if (beside == 0.0 && around.core[k] == 0.0) {
      answers[k] = Point::Zero();
      continue;
    }
    const RisePoint seen = stretch.see(i);
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

RiseAnswer EdgeRises::answer_of(const EdgeRise& rise) const {
  const std::vector<Point> answers = answers_of(outline_, weights_, rise);
  RiseAnswer answer;
  answer.first = first_of(outline_, rise, answers.size());
  answer.by_normal.reserve(answers.size());
  std::size_t i = answer.first;
  for (const Point& one : answers) {
    answer.by_normal.push_back(one.dot(outline_.normals[i]));
    i = outline_.next(i);
  }
  return answer;
}

void EdgeRises::add(EdgeGradient& gradient, const EdgeRise& rise, double factor) const {
  const std::vector<Point> answers = answers_of(outline_, weights_, rise);
  std::size_t i = first_of(outline_, rise, answers.size());
  Point sum = Point::Zero();
  for (const Point& answer : answers) {
    gradient.add(i, factor * answer);
    sum += answer;
    i = outline_.next(i);
  }
  // All is measured from the place itself.
  gradient.add(rise.at, -factor * sum);
  add_length(&gradient, -factor * rise.height / outline_.length);
}

std::vector<double> EdgeRises::covariances(const EdgeGradient& gradient, const EdgeRise& rise,
                                           std::size_t lags) const {
  return gradient.error().covariances(answer_of(rise).by_normal, lags);
}

void add_highest(EdgeGradient& gradient, const FramedOutline& outline,
                 std::span<const RisePlace> places, double sign, double factor) {
  const auto lower = [sign](const RisePlace& a, const RisePlace& b) {
    return sign * a.height() < sign * b.height();
  };
  const RisePlace& highest = *std::max_element(places.begin(), places.end(), lower);
  const EdgeRises rises(outline, highest.first.window);
  const std::vector<double> covariance = rises.covariances(gradient, highest.first);
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
        rises.add(gradient, place.first, chance * (1.0 - place.share));
      }
      if (place.share > 0.0) {
        rises.add(gradient, place.second, chance * place.share);
      }
    }
  }
  gradient.add_scatter(factor * factor * greatest.scatter());
}

}  // namespace maturity
