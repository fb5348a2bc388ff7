#include "libmaturity/descriptors/greatest.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace maturity {

void Greatest::compare(std::size_t j) {
  const double variance_j = covariance_[j][j];
  const double apart = std::sqrt(std::max(0.0, variance_ + variance_j - 2.0 * with_[j]));
  const double gap = mean_ - value_[j];
  // Without errors of their own the higher one stays the higher one.
  double first = gap >= 0.0 ? 1.0 : 0.0;
  double between = 0.0;
  constexpr double kNoErrors = 1e-9;
  if (apart > kNoErrors * std::sqrt(variance_ + variance_j)) {
    const double t = gap / apart;
    first = 0.5 * std::erfc(-t / std::numbers::sqrt2);
    between = apart * std::exp(-0.5 * t * t) * std::numbers::inv_sqrtpi / std::numbers::sqrt2;
  }
  const double second = 1.0 - first;
  const double greater = mean_ * first + value_[j] * second + between;
  const double square = (mean_ * mean_ + variance_) * first +
                        (value_[j] * value_[j] + variance_j) * second +
                        (mean_ + value_[j]) * between;
  variance_ = std::max(0.0, square - greater * greater);
  mean_ = greater;
  for (std::size_t k = 0; k < j; ++k) {
    chance_[k] *= first;
  }
  chance_[j] = second;
  for (std::size_t k = 0; k < count_; ++k) {
    with_[k] = with_[k] * first + covariance_[j][k] * second;
  }
}

double Greatest::through_chances(std::size_t count) const {
  double sum = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    sum += chance_[i] * with_[i];
  }
  return sum;
}

void Greatest::solve() {
  if (count_ == 0) {
    return;
  }
  mean_ = value_[0];
  variance_ = covariance_[0][0];
  with_ = covariance_[0];
  chance_[0] = 1.0;
  const std::size_t alike = last_is_apart_ ? count_ - 1 : count_;
  for (std::size_t j = 1; j < alike; ++j) {
    compare(j);
  }
  if (alike > 0) {
    // Clark's variance is a little low where many are alike, half of what the values scatter about
    // their mean (exact to second order) a little high.
    const double through = through_chances(alike);
    double each = 0.0;
    for (std::size_t i = 0; i < alike; ++i) {
      each += chance_[i] * covariance_[i][i];
    }
    const double clark = std::max(0.0, variance_ - through);
    const double second_order = 0.5 * std::max(0.0, each - through);
    variance_ = through + (last_is_apart_ ? clark : 0.5 * (clark + second_order));
    scatter_ = variance_ - through;
  }
  if (last_is_apart_ && alike > 0) {
    compare(alike);
    scatter_ = std::max(0.0, variance_ - through_chances(count_));
  }
}

}  // namespace maturity
