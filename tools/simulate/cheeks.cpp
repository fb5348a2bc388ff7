#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "libmaturity/drymatter/duplicates.h"
#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/cheeks_and_crop.h"
#include "tools/simulate/real_fruit.h"
#include "tools/simulate/scenario.h"
#include "tools/simulate/way_tally.h"

namespace maturity::simulate {

namespace {

constexpr int kFruit = 30;
constexpr double kRepeatSd = 0.15;
constexpr double kBetweenTrees = 0.2;
constexpr std::size_t kPairs = 5;

/// Fruit with the oven values of both cheeks; the first 15 are of trees of their own, the others
/// too.
struct Cheeks {
  std::vector<double> one;
  std::vector<double> other;
};

Cheeks draw_cheeks(double mean, double cheek_sd, RandomStream& random) {
  Cheeks cheeks;
  for (int i = 0; i < kFruit; ++i) {
    const double tree = kFruitSd * std::sqrt(kBetweenTrees) * normal_number(random);
    const double fruit =
        mean + tree + kFruitSd * std::sqrt(1.0 - kBetweenTrees) * normal_number(random);
    const double error = std::hypot(cheek_sd, kRepeatSd);
    cheeks.one.push_back(fruit + error * normal_number(random));
    cheeks.other.push_back(fruit + error * normal_number(random));
  }
  return cheeks;
}

struct CheekWay {
  std::string what;
  std::size_t fruit = 15;
  /// So many fruit have both cheeks read; their mean counts.
  std::size_t both = 0;
  /// The error of a single cheek is taken for: the oven's alone, the truth, or what pairs show.
  enum { oven_alone, known, from_pairs } error = oven_alone;
};

BlockEstimate estimate_cheeks(const Cheeks& cheeks, const CheekWay& way, double cheek_sd) {
  BlockData data;
  std::vector<CheekPair> pairs;
  for (std::size_t i = 0; i < way.fruit; ++i) {
    data.tree.push_back(std::to_string(i));
    const bool both = i < way.both;
    data.oven.push_back(both ? 0.5 * (cheeks.one[i] + cheeks.other[i]) : cheeks.one[i]);
    if (both) {
      pairs.push_back({cheeks.one[i], cheeks.other[i]});
    }
  }
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  BlockOptions options;
  if (way.error == CheekWay::known) {
    options.oven_sd_pct = std::hypot(cheek_sd, kRepeatSd);
  } else if (way.error == CheekWay::from_pairs) {
    options.oven_sd_pct = std::hypot(cheek_sd_pct(pairs, kRepeatSd).value(), kRepeatSd);
  }
  if (way.both == way.fruit) {
    options.oven_sd_pct /= std::sqrt(2.0);
  }
  return estimate_block(data, rule, options);
}

}  // namespace

void print_cheeks(std::ostream& out, const Settings& settings) {
  const std::vector<CheekWay> ways{
      {"15 fruit, one cheek, taken for the fruit", 15, 0, CheekWay::oven_alone},
      {"the same, cheeks' spread known", 15, 0, CheekWay::known},
      {"the same, spread from 5 fruit read on both", 15, kPairs, CheekWay::from_pairs},
      {"15 fruit, both cheeks, taken for the fruit", 15, 15, CheekWay::oven_alone},
      {"30 fruit, one cheek, taken for the fruit", 30, 0, CheekWay::oven_alone}};
  WayTally::print_head(out, "SD of a cheek about its fruit | oven", 2);
  constexpr std::array<double, 3> kCheekSds{0.3, 0.6, 1.0};
  for (std::size_t c = 0; c < kCheekSds.size(); ++c) {
    std::vector<WayTally> tallies(ways.size());
    for (int r = 0; r < settings.replicates; ++r) {
      RandomStream random(settings.seed + (7ULL << 40U) + (static_cast<std::uint64_t>(c) << 24U) +
                          2U * static_cast<std::uint64_t>(r));
      constexpr double kNearest = 0.3;
      constexpr double kFarthest = 2.2;
      const double z = kNearest + (kFarthest - kNearest) * random.uniform();
      const double mean = kMinimum + z * kFruitSd;
      const Cheeks drawn = draw_cheeks(mean, kCheekSds.at(c), random);
      std::array<Cheeks, kReadyAt.size()> at{};
      for (std::size_t k = 0; k < kReadyAt.size(); ++k) {
        at.at(k) = draw_cheeks(kMinimum + normal_quantile(kReadyAt.at(k)) * kFruitSd,
                               kCheekSds.at(c), random);
      }
      for (std::size_t w = 0; w < ways.size(); ++w) {
        tallies[w].count(estimate_cheeks(drawn, ways[w], kCheekSds.at(c)), mean, normal_cdf(z));
        for (std::size_t k = 0; k < kReadyAt.size(); ++k) {
          tallies[w].count_ready(estimate_cheeks(at.at(k), ways[w], kCheekSds.at(c)), k);
        }
      }
    }
    for (std::size_t w = 0; w < ways.size(); ++w) {
      out << "| " << decimals(kCheekSds.at(c), 1) << " | " << ways[w].what;
      tallies[w].print(out, settings.replicates);
    }
  }
}

}  // namespace maturity::simulate
