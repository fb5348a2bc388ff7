#include "libmaturity/stats/two_normals.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <iterator>

namespace maturity {

namespace {

constexpr std::size_t kFewestValues = 8;
constexpr std::array<double, 5> kFirstCuts{0.15, 0.3, 0.5, 0.7, 0.85};
constexpr int kMostRounds = 100;
constexpr double kSettled = 1e-4;

double mean_of(const std::vector<double>& values, std::size_t first, std::size_t last) {
  double sum = 0.0;
  for (std::size_t i = first; i < last; ++i) {
    sum += values[i];
  }
  return sum / static_cast<double>(last - first);
}

double square_about(const std::vector<double>& values, double mean) {
  double sum = 0.0;
  for (const double value : values) {
    sum += (value - mean) * (value - mean);
  }
  return sum;
}

/// Values standardised to mean 0 and variance 1, so that one normal has log likelihood -n/2.
TwoNormals climb(const std::vector<double>& values, double cut) {
  const auto n = static_cast<double>(values.size());
  const auto split =
      std::clamp<std::size_t>(static_cast<std::size_t>(cut * n), 1, values.size() - 1);
  TwoNormals fit;
  fit.low_share = cut;
  fit.low_mean = mean_of(values, 0, split);
  fit.high_mean = mean_of(values, split, values.size());
  const double gap = fit.high_mean - fit.low_mean;
  constexpr double kLeastVariance = 1e-6;
  double variance = std::max(kLeastVariance, 1.0 - cut * (1.0 - cut) * gap * gap);
  double before = 0.0;
  for (int round = 0; round < kMostRounds; ++round) {
    double weight = 0.0;
    double low = 0.0;
    double sum = 0.0;
    double likelihood = 0.0;
    // The log odds of the lower group are a - b x.
    const double b = (fit.high_mean - fit.low_mean) / variance;
    const double a =
        std::log(fit.low_share / (1.0 - fit.low_share)) + 0.5 * b * (fit.high_mean + fit.low_mean);
    for (const double x : values) {
      // Log odds of the lower group; of either sign far beyond what exp can hold.
      const double log_odds = a - b * x;
      const double smaller = std::exp(-std::abs(log_odds));
      const double p = (log_odds > 0.0 ? 1.0 : smaller) / (1.0 + smaller);
      weight += p;
      low += p * x;
      sum += x;
      const double off = x - fit.high_mean;
      likelihood += std::max(log_odds, 0.0) + std::log1p(smaller) - 0.5 * off * off / variance;
    }
    likelihood += n * (std::log(1.0 - fit.low_share) - 0.5 * std::log(variance));
    fit.statistic = 2.0 * (likelihood + 0.5 * n);
    fit.sd = std::sqrt(variance);
    if (round > 0 && fit.statistic - before < kSettled) {
      break;
    }
    before = fit.statistic;
    fit.low_mean = low / weight;
    fit.high_mean = (sum - low) / (n - weight);
    const double inner =
        (weight * fit.low_mean * fit.low_mean + (n - weight) * fit.high_mean * fit.high_mean) / n;
    variance = std::max(kLeastVariance, 1.0 - inner);
    fit.low_share = std::clamp(weight / n, kLeastGroup, 1.0 - kLeastGroup);
  }
  return fit;
}

}  // namespace

std::optional<TwoNormals> fit_two_normals(const std::vector<double>& values) {
  std::vector<double> known;
  std::copy_if(values.begin(), values.end(), std::back_inserter(known),
               [](double value) { return !std::isnan(value); });
  if (known.size() < kFewestValues) {
    return std::nullopt;
  }
  const double mean = mean_of(known, 0, known.size());
  const double sd = std::sqrt(square_about(known, mean) / static_cast<double>(known.size()));
  constexpr double kNoSpread = 1e-10;
  if (!(sd > kNoSpread)) {
    return std::nullopt;
  }
  for (double& value : known) {
    value = (value - mean) / sd;
  }
  std::sort(known.begin(), known.end());
  TwoNormals best;
  for (const double cut : kFirstCuts) {
    const TwoNormals fit = climb(known, cut);
    if (cut == kFirstCuts.front() || fit.statistic > best.statistic) {
      best = fit;
    }
  }
  best.statistic = std::max(0.0, best.statistic);
  best.low_mean = mean + sd * best.low_mean;
  best.high_mean = mean + sd * best.high_mean;
  best.sd *= sd;
  return best;
}

// 10,000 samples (one Mersenne twister, seed 11) of 20, 25, 30, 40, 60, 100 and 200 values
// gave 10.5, 10.4, 9.9, 10.1, 9.7, 9.3 and 9.1, each known to about 0.25; the line in 1/n goes
// through them.
double two_normals_limit(double n) {
  constexpr double kMany = 8.9;
  constexpr double kFew = 38.0;
  return kMany + kFew / n;
}

}  // namespace maturity
