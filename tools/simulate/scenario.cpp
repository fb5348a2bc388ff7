#include "tools/simulate/scenario.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <limits>
#include <numeric>

#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/random_stream.h"

namespace maturity::simulate {

namespace {

constexpr double kShapeBetweenTrees = 0.2;
constexpr int kPopulation = 200000;
constexpr double kMissing = std::numeric_limits<double>::quiet_NaN();

double normal(RandomStream& random) {
  constexpr double kHalfStep = 0x1.0p-54;
  return normal_quantile(random.uniform() + kHalfStep);
}

/// Mean 0, variance 1.
double residual(Spread spread, RandomStream& random) {
  // Gamma with shape 4 as a sum of exponentials: skewness 2/sqrt(4) = 1.
  constexpr int kGammaShape = 4;
  const auto skewed = [&] {
    double sum = 0.0;
    for (int i = 0; i < kGammaShape; ++i) {
      sum -= std::log(1.0 - random.uniform());
    }
    return (sum - kGammaShape) / std::sqrt(static_cast<double>(kGammaShape));
  };
  switch (spread) {
    case Spread::left_skew:
      return -skewed();
    case Spread::right_skew:
      return skewed();
    case Spread::two_humps: {
      // 30 % of the fruit from a later flowering, 2 SD behind.
      constexpr double kLate = 0.3;
      constexpr double kBehind = 2.0;
      const double sd = std::sqrt(1.0 + kBehind * kBehind * kLate * (1.0 - kLate));
      const double late = random.uniform() < kLate ? 1.0 : 0.0;
      return (normal(random) - kBehind * (late - kLate)) / sd;
    }
    case Spread::flat:
      return std::sqrt(3.0) * (2.0 * random.uniform() - 1.0);
    case Spread::normal:
      break;
  }
  return normal(random);
}

/// Five correlated standard normal values.
std::array<double, kDescriptors> correlated(RandomStream& random) {
  std::array<double, kDescriptors> value{};
  value[0] = normal(random);
  for (std::size_t i = 1; i < value.size(); ++i) {
    value.at(i) = 0.5 * value.at(i - 1) + std::sqrt(0.75) * normal(random);
  }
  return value;
}

/// What a shape score (mean 0, variance 1) does to dry matter, of the same mean and variance: a
/// parabola whose low end falls away where `curve` is positive.
double bent(double score, double curve) {
  return (score - curve * (score * score - 1.0)) / std::sqrt(1.0 + 2.0 * curve * curve);
}

/// Which fruit go into the oven.
std::vector<std::size_t> choose_oven(const Scenario& scenario, const BlockData& data,
                                     RandomStream& random) {
  const std::size_t n = data.tree.size();
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), std::size_t{0});
  for (std::size_t i = n; i > 1; --i) {
    std::swap(order[i - 1], order[random.below(i)]);
  }
  if (scenario.choice == OvenChoice::by_shape) {
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return data.shape.row(static_cast<Eigen::Index>(a)).sum() >
             data.shape.row(static_cast<Eigen::Index>(b)).sum();
    });
  } else if (scenario.choice == OvenChoice::first_per_tree) {
    // One per tree, then a second per tree, and so on.
    std::vector<int> rank(n, 0);
    for (std::size_t i = 1; i < n; ++i) {
      rank[i] = data.tree[i] == data.tree[i - 1] ? rank[i - 1] + 1 : 0;
    }
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return rank[a] < rank[b]; });
  }
  order.resize(std::min(n, static_cast<std::size_t>(scenario.oven)));
  return order;
}

}  // namespace

double unit_slope() {
  double variance = 0.0;
  for (int i = 0; i < kDescriptors; ++i) {
    for (int j = 0; j < kDescriptors; ++j) {
      variance += std::pow(0.5, std::abs(i - j));
    }
  }
  return 1.0 / std::sqrt(variance);
}

Sampler::Sampler(const Scenario& scenario, std::uint64_t seed) : scenario_(scenario), seed_(seed) {
  if (scenario.spread == Spread::normal && scenario.curve == 0.0) {
    return;
  }
  RandomStream random(seed);
  const double by_shape = std::sqrt(scenario.explained);
  const double by_tree = std::sqrt((1.0 - scenario.explained) * scenario.between_trees);
  const double by_fruit = std::sqrt((1.0 - scenario.explained) * (1.0 - scenario.between_trees));
  for (int i = 0; i < kPopulation; ++i) {
    population_.push_back(by_shape * bent(normal(random), scenario.curve) +
                          by_tree * normal(random) + by_fruit * residual(scenario.spread, random));
  }
  std::sort(population_.begin(), population_.end());
}

double Sampler::share_above(double z) const {
  if (population_.empty()) {
    return 1.0 - normal_cdf(z);
  }
  const auto above =
      population_.end() - std::lower_bound(population_.begin(), population_.end(), z);
  return static_cast<double>(above) / static_cast<double>(population_.size());
}

Drawn Sampler::draw(int replicate) const {
  RandomStream random(seed_ + 2U * static_cast<std::uint64_t>(replicate) + 1U);
  constexpr double kNearest = 0.3;
  constexpr double kFarthest = 2.2;
  return draw_at(replicate, kNearest + (kFarthest - kNearest) * random.uniform());
}

Drawn Sampler::draw(int replicate, double true_share) const {
  if (population_.empty()) {
    return draw_at(replicate, normal_quantile(true_share));
  }
  const auto place =
      static_cast<std::size_t>((1.0 - true_share) * static_cast<double>(population_.size()));
  return draw_at(replicate, -population_[place]);
}

Drawn Sampler::draw_with_mean(int replicate, double level) const {
  return draw_at(replicate, level);
}

Drawn Sampler::draw_at(int replicate, double level) const {
  // Apart from the stream that drew the level.
  RandomStream random((seed_ + 2U * static_cast<std::uint64_t>(replicate)) ^ 0x9E3779B97F4A7C15U);
  Drawn drawn;
  drawn.true_mean = kMinimum + level * scenario_.spread_sd;
  drawn.true_share = share_above(-level);
  const double rest = 1.0 - scenario_.explained;
  const double unit = unit_slope();
  const double shape_sd = std::sqrt(scenario_.explained) * scenario_.spread_sd;
  const double tree_sd = scenario_.spread_sd * std::sqrt(rest * scenario_.between_trees);
  const double fruit_sd = scenario_.spread_sd * std::sqrt(rest * (1.0 - scenario_.between_trees));
  std::vector<std::array<double, kDescriptors>> shapes;
  std::vector<double> truth;
  for (int tree = 0; tree < scenario_.trees; ++tree) {
    const std::array<double, kDescriptors> of_tree = correlated(random);
    const double effect = tree_sd * normal(random);
    constexpr std::size_t kMostDrawn = 6;
    const int count = scenario_.fruit_per_tree > 0 ? scenario_.fruit_per_tree
                                                   : 1 + static_cast<int>(random.below(kMostDrawn));
    for (int j = 0; j < count; ++j) {
      std::array<double, kDescriptors> shape = correlated(random);
      double value = drawn.true_mean + effect + fruit_sd * residual(scenario_.spread, random);
      double score = 0.0;
      for (std::size_t d = 0; d < shape.size(); ++d) {
        shape.at(d) = std::sqrt(kShapeBetweenTrees) * of_tree.at(d) +
                      std::sqrt(1.0 - kShapeBetweenTrees) * shape.at(d);
        score += unit * shape.at(d);
      }
      value += shape_sd * bent(score, scenario_.curve);
      shapes.push_back(shape);
      truth.push_back(value);
      drawn.data.tree.push_back("t" + std::to_string(tree));
    }
  }
  const auto n = static_cast<Eigen::Index>(truth.size());
  drawn.data.shape.resize(n, kDescriptors);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index d = 0; d < kDescriptors; ++d) {
      drawn.data.shape(i, d) = shapes[static_cast<std::size_t>(i)].at(static_cast<std::size_t>(d));
    }
  }
  drawn.data.oven.assign(truth.size(), kMissing);
  drawn.data.meter.assign(truth.size(), kMissing);
  for (const std::size_t i : choose_oven(scenario_, drawn.data, random)) {
    drawn.data.oven[i] = truth[i] + kOvenSd * normal(random);
  }
  std::vector<double> second(truth.size(), kMissing);
  for (std::size_t i = 0; scenario_.metered && i < truth.size(); ++i) {
    const int tree = std::stoi(drawn.data.tree[i].substr(1));
    const bool by_second =
        scenario_.second_every > 0 && tree % scenario_.second_every == scenario_.second_every - 1;
    const double error = normal(random);
    if (!by_second) {
      drawn.data.meter[i] = kMinimum + scenario_.meter_slope * (truth[i] - kMinimum) +
                            scenario_.meter_bias + scenario_.meter_sd * error;
    } else if (!scenario_.second_unchecked || std::isnan(drawn.data.oven[i])) {
      second[i] = kMinimum + scenario_.second_slope * (truth[i] - kMinimum) +
                  scenario_.second_bias + scenario_.second_sd * error;
    }
  }
  if (scenario_.second_every > 0) {
    drawn.data.further_meters.push_back({second, {}, {}});
  }
  return drawn;
}

}  // namespace maturity::simulate
