#include "libmaturity/readiness/residual_skewness.h"

#include <cmath>
#include <cstddef>

namespace maturity {

std::optional<double> skewness(const std::vector<double>& values) {
  double n = 0.0;
  double mean = 0.0;
  for (const double value : values) {
    if (!std::isnan(value)) {
      n += 1.0;
      mean += value;
    }
  }
  mean /= n;
  double second = 0.0;
  double third = 0.0;
  for (const double value : values) {
    if (!std::isnan(value)) {
      const double off = value - mean;
      second += off * off / n;
      third += off * off * off / n;
    }
  }
  constexpr double kNoSpread = 1e-20;
  if (n < 3.0 || second < kNoSpread) {
    return std::nullopt;
  }
  return third / std::pow(second, 1.5);
}

bool leans_left(std::optional<double> value, int n) {
  constexpr int kFewest = 20;
  constexpr double kLimit = -2.3;
  return value && n >= kFewest && *value < kLimit * std::sqrt(6.0 / n);
}

bool bends_down(const std::vector<double>& expected, const std::vector<double>& residual) {
  constexpr double kFewestFruit = 20.0;
  constexpr double kLimit = -2.5;
  double n = 0.0;
  double mean = 0.0;
  double residual_mean = 0.0;
  for (std::size_t i = 0; i < residual.size(); ++i) {
    if (!std::isnan(residual[i])) {
      n += 1.0;
      mean += expected[i];
      residual_mean += residual[i];
    }
  }
  if (n < kFewestFruit) {
    return false;
  }
  mean /= n;
  residual_mean /= n;
  double variance = 0.0;
  for (std::size_t i = 0; i < residual.size(); ++i) {
    if (!std::isnan(residual[i])) {
      variance += (expected[i] - mean) * (expected[i] - mean) / n;
    }
  }
  double both = 0.0;
  double of_square = 0.0;
  double of_residual = 0.0;
  for (std::size_t i = 0; i < residual.size(); ++i) {
    if (!std::isnan(residual[i])) {
      const double square = (expected[i] - mean) * (expected[i] - mean) - variance;
      const double off = residual[i] - residual_mean;
      both += square * off;
      of_square += square * square;
      of_residual += off * off;
    }
  }
  const double left = of_square * of_residual - both * both;
  return left > 0.0 && both / std::sqrt(left / (n - 2.0)) < kLimit;
}

}  // namespace maturity
