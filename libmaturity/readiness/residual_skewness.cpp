#include "libmaturity/readiness/residual_skewness.h"

#include <cmath>

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

}  // namespace maturity
