#include "libmaturity/descriptors/edge_error.h"

#include <algorithm>
#include <array>
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

std::vector<double> EdgeError::smoothed(std::span<const double> gradient) {
  const std::size_t n = gradient.size();
  const std::size_t half = kernel_.size() / 2;
  wrapped_.resize(n + 2 * half);
  for (std::size_t k = 0; k < half; ++k) {
    wrapped_[k] = gradient[(k + n * (half / n + 1) - half) % n];
    wrapped_[half + n + k] = gradient[k % n];
  }
  std::copy(gradient.begin(), gradient.end(), wrapped_.begin() + static_cast<std::ptrdiff_t>(half));
  std::vector<double> smooth(n);
  const double* middle = &wrapped_[half];
  const double* kernel = &kernel_[half];
  // The kernel is the same both ways. Four points at a time stay in registers.
  constexpr std::size_t kAtOnce = 4;
  std::size_t i = 0;
  for (; i + kAtOnce <= n; i += kAtOnce) {
    std::array<double, kAtOnce> sum;
    for (std::size_t j = 0; j < kAtOnce; ++j) {
      sum[j] = kernel[0] * middle[i + j];
    }
    for (std::size_t k = 1; k <= half; ++k) {
      const double* on = middle + i + k;
      const double* back = middle + i - k;
      for (std::size_t j = 0; j < kAtOnce; ++j) {
        sum[j] += kernel[k] * (on[j] + back[j]);
      }
    }
    std::copy(sum.begin(), sum.end(), smooth.begin() + static_cast<std::ptrdiff_t>(i));
  }
  for (; i < n; ++i) {
    double sum = kernel[0] * middle[i];
    for (std::size_t k = 1; k <= half; ++k) {
      sum += kernel[k] * (middle[i + k] + *(middle + i - k));
    }
    smooth[i] = sum;
  }
  for (double& value : smooth) {
    value *= sd_;
  }
  return smooth;
}

double EdgeError::of(std::span<const double> gradient) {
  double squares = 0.0;
  for (const double value : smoothed(gradient)) {
    squares += value * value;
  }
  return std::sqrt(squares);
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
