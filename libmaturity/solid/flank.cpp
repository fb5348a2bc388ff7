#include "libmaturity/solid/flank.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

constexpr double kSteepest = 0.995;  // beyond it the outline would be the top of the fruit

}  // namespace

double FlankView::share(double h) const {
  if (exponent == 2.0) {
    return std::sqrt(std::max(1e-12, 1.0 - h * h));
  }
  return std::pow(std::max(1e-12, 1.0 - std::pow(std::abs(h), exponent)), 1.0 / exponent);
}

FlankView::Lean FlankView::lean(double h) const {
  const double size = std::abs(h);
  Lean at;
  if (exponent == 2.0) {
    at.share = share(h);
    at.lean = size / at.share;
    at.lean_change = std::copysign((1.0 + at.lean * at.lean) / at.share, h);
    return at;
  }
  if (size < 1e-12) {
    return at;
  }
  // One logarithm each of |h| and of r, in place of five powers.
  const double log_size = std::log(size);
  const double log_share =
      std::log(std::max(1e-12, 1.0 - std::exp(exponent * log_size))) / exponent;
  at.share = std::exp(log_share);
  at.lean = std::exp((exponent - 1.0) * (log_size - log_share));
  const double ratio = size / at.share;
  at.lean_change =
      std::copysign((exponent - 1.0) * at.lean / ratio * (1.0 + ratio * at.lean) / at.share, h);
  return at;
}

double FlankView::residual(double h, double d_over_w) const {
  const Lean at = lean(h);
  const double c = half_thickness;
  return c * (d_over_w - at.share) + std::copysign(at.lean, h) * (camera_height - c - c * h);
}

double FlankView::touching_height(double d_over_w) const {
  // The residual rises with h while the camera is above the fruit.
  double low = -kSteepest;
  double high = kSteepest;
  double h = std::clamp(half_thickness / (camera_height - half_thickness), 0.0, 0.9);
  constexpr int kMostSteps = 60;
  for (int i = 0; i < kMostSteps; ++i) {
    const double f = residual(h, d_over_w);
    (f > 0.0 ? high : low) = h;
    constexpr double kStep = 1e-7;
    const double slope = (residual(h + kStep, d_over_w) - f) / kStep;
    double next = h - f / slope;
    if (!(next > low && next < high)) {
      next = 0.5 * (low + high);
    }
    const double change = std::abs(next - h);
    h = next;
    if (change < 1e-13) {
      break;
    }
  }
  return h;
}

}  // namespace maturity
