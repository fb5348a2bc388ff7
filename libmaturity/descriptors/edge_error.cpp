#include "libmaturity/descriptors/edge_error.h"

#include <algorithm>
#include <cmath>

namespace maturity {

EdgeError::EdgeError(double sd, double correlation_length, double step) : sd_(sd) {
  // exp(-s^2/length^2) run over itself is proportional to exp(-s^2/(2 length^2)).
  constexpr double kCutoff = 2.6;
  const double scale = step / correlation_length;
  const auto reach = static_cast<std::ptrdiff_t>(std::floor(kCutoff / scale));
  const std::ptrdiff_t most = std::min<std::ptrdiff_t>(reach, 127);
  double squares = 0.0;
  for (std::ptrdiff_t k = -most; k <= most; ++k) {
    const double s = static_cast<double>(k) * scale;
    kernel_.push_back(std::exp(-s * s));
    squares += kernel_.back() * kernel_.back();
  }
  for (double& weight : kernel_) {
    weight /= std::sqrt(squares);
  }
}

double EdgeError::of(std::span<const double> gradient) {
  const std::size_t n = gradient.size();
  const std::size_t width = kernel_.size();
  wrapped_.resize(n + width - 1);
  for (std::size_t i = 0; i < wrapped_.size(); ++i) {
    wrapped_[i] = gradient[i % n];
  }
  const std::size_t half = width / 2;
  smooth_.resize(n);
  const double* middle = &wrapped_[half];
  for (std::size_t i = 0; i < n; ++i) {
    smooth_[i] = kernel_[half] * middle[i];
  }
  // The kernel is the same both ways.
  for (std::size_t k = 1; k <= half; ++k) {
    const double weight = kernel_[half + k];
    const double* on = middle + k;
    const double* back = middle - k;
    for (std::size_t i = 0; i < n; ++i) {
      smooth_[i] += weight * (on[i] + back[i]);
    }
  }
  double squares = 0.0;
  for (const double value : smooth_) {
    squares += value * value;
  }
  return sd_ * std::sqrt(squares);
}

std::vector<double> EdgeError::covariances(std::span<const double> weights,
                                           std::size_t lags) const {
  std::vector<double> smooth(weights.size() + kernel_.size() - 1, 0.0);
  for (std::size_t i = 0; i < weights.size(); ++i) {
    for (std::size_t k = 0; k < kernel_.size(); ++k) {
      smooth[i + k] += weights[i] * kernel_[k];
    }
  }
  std::vector<double> covariance(lags, 0.0);
  for (std::size_t lag = 0; lag < lags; ++lag) {
    for (std::size_t i = 0; i + lag < smooth.size(); ++i) {
      covariance[lag] += smooth[i] * smooth[i + lag];
    }
    covariance[lag] *= sd_ * sd_;
  }
  return covariance;
}

double edge_roughness(const Polygon& even) {
  const std::size_t n = even.size();
  std::vector<double> differences(n);
  const auto at = [&](std::size_t i) -> const Point& { return even[i % n]; };
  for (std::size_t i = 0; i < n; ++i) {
    const Point fourth = at(i) - 4.0 * at(i + 1) + 6.0 * at(i + 2) - 4.0 * at(i + 3) + at(i + 4);
    const Point chord = at(i + 3) - at(i + 1);
    const double length = chord.norm();
    const double across =
        length > 0.0 ? (chord.x() * fourth.y() - chord.y() * fourth.x()) / length : 0.0;
    // 1 + 16 + 36 + 16 + 1 = 70 squares of the weights.
    differences[i] = std::abs(across) / std::sqrt(70.0);
  }
  const auto middle = differences.begin() + static_cast<std::ptrdiff_t>(n / 2);
  std::nth_element(differences.begin(), middle, differences.end());
  // Median of |x| of a normal distribution: 0.6745 standard deviations.
  return *middle / 0.6745;
}

}  // namespace maturity
