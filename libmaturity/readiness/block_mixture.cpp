#include "libmaturity/readiness/block_mixture.h"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "libmaturity/stats/normal.h"

namespace maturity {

namespace {

constexpr double kRootTolerance = 1e-9;
constexpr double kVarianceFloor = 1e-12;
constexpr double kLargestZ = 8.0;
constexpr std::uintmax_t kMostSteps = 200;
constexpr double kHeavyNode = 1e-2;
// Half-widths of the first bracket, in SD: from a normal guess, then from the heavy nodes' root.
constexpr double kFirstWidth = 0.3;
constexpr double kSecondWidth = 0.05;
// Half a difference quotient, in SD.
constexpr double kSlopeStep = 0.01;
constexpr double kLeastZSd = 0.03;

/// Root of an increasing function, searched outward from centre +/- width within [low, high];
/// the nearer end when there is none.
template <class Function>
double increasing_root(const Function& function, double centre, double width, double low,
                       double high) {
  double left = std::clamp(centre - width, low, high);
  double right = std::clamp(centre + width, low, high);
  double at_left = function(left);
  double at_right = function(right);
  while (at_left > 0.0) {
    if (left <= low) {
      return low;
    }
    right = left;
    at_right = at_left;
    width *= 2.0;
    left = std::max(low, left - width);
    at_left = function(left);
  }
  while (at_right < 0.0) {
    if (right >= high) {
      return high;
    }
    left = right;
    at_left = at_right;
    width *= 2.0;
    right = std::min(high, right + width);
    at_right = function(right);
  }
  if (at_left == 0.0) {
    return left;
  }
  if (at_right == 0.0) {
    return right;
  }
  std::uintmax_t steps = kMostSteps;
  const auto close = [](double a, double b) { return std::abs(b - a) < kRootTolerance; };
  const auto [a, b] =
      boost::math::tools::toms748_solve(function, left, right, at_left, at_right, close, steps);
  return 0.5 * (a + b);
}

/// Weights sum to 1 within rounding only.
double as_probability(double sum) { return std::clamp(sum, 0.0, 1.0); }

/// The same root of an increasing function, from a guess within a few `width` of it and an estimate
/// of the slope there: secant steps, and a bracket where those do not settle at once.
template <class Function>
double polished_root(const Function& function, double guess, double slope, double width, double low,
                     double high) {
  constexpr int kMostSecants = 5;
  double at = function(guess);
  double x = guess;
  for (int step = 0; step < kMostSecants && slope > 0.0; ++step) {
    const double next = x - at / slope;
    if (!(std::abs(next - guess) <= width) || next <= low || next >= high) {
      break;
    }
    if (std::abs(next - x) < kRootTolerance) {
      return next;
    }
    const double at_next = function(next);
    slope = (at_next - at) / (next - x);
    x = next;
    at = at_next;
  }
  return increasing_root(function, guess, width, low, high);
}

MeanSd moments(double sum, double square) {
  return {sum, std::sqrt(std::max(0.0, square - sum * sum))};
}

}  // namespace

BlockMixture::BlockMixture(std::vector<GridNode> nodes, double minimum_dm_pct)
    : nodes_(std::move(nodes)), minimum_(minimum_dm_pct) {
  double heaviest = 0.0;
  for (const GridNode& node : nodes_) {
    heaviest = std::max(heaviest, node.weight);
  }
  const auto first_light = std::stable_partition(
      nodes_.begin(), nodes_.end(),
      [&](const GridNode& node) { return node.weight >= kHeavyNode * heaviest; });
  heavy_ = static_cast<std::size_t>(first_light - nodes_.begin());
  for (std::size_t i = 0; i < heavy_; ++i) {
    heavy_weight_ += nodes_[i].weight;
  }
  double level = 0.0;
  double sum = 0.0;
  double square = 0.0;
  for (const GridNode& node : nodes_) {
    const double z = (node.level - minimum_) / std::sqrt(node.spread_square);
    const double variance = (node.level_var + z * z * node.spread_var) / node.spread_square;
    level += node.weight * node.level;
    sum += node.weight * z;
    square += node.weight * (variance + z * z);
  }
  typical_z_ = moments(sum, square);
  double variance = 0.0;
  for (const GridNode& node : nodes_) {
    variance += node.weight * (node.level_var + (node.level - level) * (node.level - level));
  }
  mean_ = {level, std::sqrt(variance)};
}

double BlockMixture::mean_below(double x, std::size_t count) const {
  double total = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    const GridNode& node = nodes_[i];
    total += node.weight * normal_cdf((x - node.level) / std::sqrt(node.level_var));
  }
  return total;
}

double BlockMixture::mean_quantile(double probability) const {
  const auto among_heavy = [&](double x) {
    return mean_below(x, heavy_) - probability * heavy_weight_;
  };
  const auto among_all = [&](double x) { return mean_below(x, all()) - probability; };
  // A mixture of normals this narrow has no quantile of interest beyond 40 of its own SD.
  const double low = mean_.mean - 40.0 * mean_.sd;
  const double high = mean_.mean + 40.0 * mean_.sd;
  const double guess =
      increasing_root(among_heavy, mean_.mean + normal_quantile(probability) * mean_.sd,
                      kFirstWidth * mean_.sd, low, high);
  const double step = kSlopeStep * mean_.sd;
  const double slope = (among_heavy(guess + step) - among_heavy(guess - step)) / (2.0 * step);
  return polished_root(among_all, guess, slope, kSecondWidth * mean_.sd, low, high);
}

double BlockMixture::mean_reaches_minimum() const {
  // Summed from its own end: 1 less the other tail loses small chances, and can fall below 0.
  double total = 0.0;
  for (const GridNode& node : nodes_) {
    total += node.weight * normal_cdf((node.level - minimum_) / std::sqrt(node.level_var));
  }
  return as_probability(total);
}

double BlockMixture::share_at_least(double z) const {
  return as_probability(share_at_least(z, all()));
}

double BlockMixture::share_at_least(double z, std::size_t count) const {
  double total = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    const GridNode& node = nodes_[i];
    const double variance = node.level_var - 2.0 * z * node.covariance + z * z * node.spread_var;
    total += node.weight * normal_cdf((node.level - z * node.spread - minimum_) /
                                      std::sqrt(std::max(kVarianceFloor, variance)));
  }
  return total;
}

double BlockMixture::share_quantile(double probability) const {
  const auto among_heavy = [&](double z) {
    return (1.0 - probability) * heavy_weight_ - share_at_least(z, heavy_);
  };
  const auto among_all = [&](double z) { return 1.0 - probability - share_at_least(z); };
  const double sd = std::max(kLeastZSd, typical_z_.sd);
  const double guess =
      increasing_root(among_heavy, typical_z_.mean + normal_quantile(probability) * sd,
                      kFirstWidth * sd, -kLargestZ, kLargestZ);
  const double step = kSlopeStep * sd;
  const double slope = (among_heavy(guess + step) - among_heavy(guess - step)) / (2.0 * step);
  return normal_cdf(
      polished_root(among_all, guess, slope, kSecondWidth * sd, -kLargestZ, kLargestZ));
}

MeanSd BlockMixture::psi(double z) const {
  double sum = 0.0;
  for (const GridNode& node : nodes_) {
    sum += node.weight * (node.level - z * node.spread);
  }
  double variance = 0.0;
  for (const GridNode& node : nodes_) {
    const double off = node.level - z * node.spread - sum;
    variance += node.weight *
                (node.level_var - 2.0 * z * node.covariance + z * z * node.spread_var + off * off);
  }
  return {sum, std::sqrt(variance)};
}

MeanSd BlockMixture::spread() const {
  double sum = 0.0;
  double square = 0.0;
  for (const GridNode& node : nodes_) {
    sum += node.weight * node.spread;
    square += node.weight * (node.spread_var + node.spread * node.spread);
  }
  return moments(sum, square);
}

}  // namespace maturity
