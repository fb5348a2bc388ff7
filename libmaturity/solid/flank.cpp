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

double FlankView::residual(double h, double d_over_w) const {
  const double r = share(h);
  const double ratio = std::abs(h) / r;
  const double slope = exponent == 2.0 ? ratio : std::pow(ratio, exponent - 1.0);
  const double c = half_thickness;
  return c * (d_over_w - r) + std::copysign(slope, h) * (camera_height - c - c * h);
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
