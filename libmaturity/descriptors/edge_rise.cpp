#include "libmaturity/descriptors/edge_rise.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

constexpr double kSoft = 0.02;  // in L
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
    sum += around.core[k];
  }
  for (std::size_t k = 0; k < around.count; ++k) {
    around.core[k] /= sum;
  }
  return around;
}

void leave_out(RiseWeights& around, const FramedOutline& outline, std::size_t at,
               const LeftOut& out) {
  const auto n = static_cast<std::ptrdiff_t>(outline.size());
  const double step = outline.step() / outline.length;
  std::ptrdiff_t shift = static_cast<std::ptrdiff_t>(at) - static_cast<std::ptrdiff_t>(out.around);
  shift -= n * static_cast<std::ptrdiff_t>(
                   std::lround(static_cast<double>(shift) / static_cast<double>(n)));
  for (std::size_t k = 0; k < around.count; ++k) {
    const std::ptrdiff_t away = static_cast<std::ptrdiff_t>(k) - around.reach + shift;
    around.beside[k] *= beyond(std::abs(static_cast<double>(away)) * step, out.within);
  }
}

/// What is fitted at each point besides a constant.
struct Terms {
  std::array<double, kMostPoints> along{};
  std::array<double, kMostPoints> square{};
};

/// What each point's height counts for: its share in the core less what the fit takes from it.
std::array<double, kMostPoints> weights_of_heights(const RiseWeights& around, const Terms& terms) {
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d core(1.0, 0.0, 0.0);
  for (std::size_t k = 0; k < around.count; ++k) {
    const double w = around.beside[k];
    const double x = terms.along[k];
    const double q = terms.square[k];
    normal(0, 0) += w;
    normal(0, 1) += w * x;
    normal(0, 2) += w * q;
    normal(1, 1) += w * x * x;
    normal(1, 2) += w * x * q;
    normal(2, 2) += w * q * q;
    core(1) += around.core[k] * x;
    core(2) += around.core[k] * q;
  }
  normal(1, 0) = normal(0, 1);
  normal(2, 0) = normal(0, 2);
  normal(2, 1) = normal(1, 2);
  const Eigen::Vector3d solved = normal.inverse() * core;
  std::array<double, kMostPoints> weights{};
  for (std::size_t k = 0; k < around.count; ++k) {
    const double fitted = solved(0) + solved(1) * terms.along[k] + solved(2) * terms.square[k];
    weights[k] = around.core[k] - around.beside[k] * fitted;
  }
  return weights;
}

/// A place with its surroundings: heights above the chord and their weights.
struct Place {
  RiseWeights around;
  Point outward = Point::UnitX();
  std::array<double, kMostPoints> weights{};
  double height = 0.0;
};

Place look_at_place(const FramedOutline& outline, std::size_t at, const RiseWeights& around,
                    const std::optional<LeftOut>& left_out) {
  Place place;
  place.around = around;
  if (left_out) {
    leave_out(place.around, outline, at, *left_out);
  }
  const std::ptrdiff_t reach = place.around.reach;
  const Point chord =
      (outline.points[outline.at(at, reach)] - outline.points[outline.at(at, -reach)]).normalized();
  place.outward = Point(chord.y(), -chord.x());
  Terms terms;
  std::array<double, kMostPoints> heights{};
  std::size_t i = outline.at(at, -reach);
  for (std::size_t k = 0; k < place.around.count; ++k, i = outline.next(i)) {
    const Point p = (outline.points[i] - outline.points[at]) / outline.length;
    // With the squared distance as its third term the fit is exact on circles.
    terms.along[k] = p.dot(chord);
    terms.square[k] = p.squaredNorm();
    heights[k] = p.dot(place.outward);
  }
  place.weights = weights_of_heights(place.around, terms);
  for (std::size_t k = 0; k < place.around.count; ++k) {
    place.height += place.weights[k] * heights[k];
  }
  return place;
}

}  // namespace

EdgeRise rise_at(const FramedOutline& outline, std::size_t at, const RiseWindow& window,
                 const std::optional<LeftOut>& left_out) {
  return EdgeRises(outline, window).at(at, left_out);
}

void add_rise(EdgeGradient& gradient, const FramedOutline& outline, const EdgeRise& rise,
              double factor) {
  const Place place = look_at_place(outline, rise.at, weigh(outline, rise.window), rise.left_out);
  std::size_t i = outline.at(rise.at, -place.around.reach);
  for (std::size_t k = 0; k < place.around.count; ++k, i = outline.next(i)) {
    gradient.add(i, factor / outline.length * place.weights[k] * place.outward);
  }
  add_length(&gradient, outline, -factor * rise.height / outline.length);
}

EdgeRises::EdgeRises(const FramedOutline& outline, const RiseWindow& window)
    : outline_(outline), window_(window), weights_(weigh(outline, window)) {}

EdgeRise EdgeRises::at(std::size_t i, const std::optional<LeftOut>& left_out) const {
  return {look_at_place(outline_, i, weights_, left_out).height, i, window_, left_out};
}

}  // namespace maturity
