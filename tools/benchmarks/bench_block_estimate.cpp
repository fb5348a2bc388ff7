// Time of one block estimate on one core. Aim: 60 fruit, 5 descriptors, 20 trees: at most 5 ms with
// oven only, 15 ms with a meter.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstddef>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/meter_slope.h"

namespace {

/// An invented block: 3 fruit a tree, one of them in the oven, the meter on all of them or none.
maturity::BlockData invented_block(int trees, int descriptors, bool metered) {
  constexpr int kFruitPerTree = 3;
  std::mt19937_64 engine(7);
  std::normal_distribution<double> normal;
  maturity::BlockData data;
  data.shape.resize(trees * kFruitPerTree, descriptors);
  for (int tree = 0; tree < trees; ++tree) {
    const double tree_effect = 0.6 * normal(engine);
    for (int j = 0; j < kFruitPerTree; ++j) {
      const Eigen::Index row = tree * kFruitPerTree + j;
      for (Eigen::Index d = 0; d < descriptors; ++d) {
        data.shape(row, d) = normal(engine);
      }
      const double slope_part = descriptors > 0 ? 0.6 * data.shape(row, 0) : 0.0;
      const double truth = 16.5 + tree_effect + slope_part + normal(engine);
      const double missing = std::numeric_limits<double>::quiet_NaN();
      data.tree.push_back("tree " + std::to_string(tree));
      data.oven.push_back(j == 0 ? truth + 0.15 * normal(engine) : missing);
      data.meter.push_back(metered ? truth + 1.0 + normal(engine) : missing);
    }
  }
  return data;
}

/// Every other fruit read with a second meter instead, 3 % lower.
void give_to_second_meter(maturity::BlockData& data) {
  const double missing = std::numeric_limits<double>::quiet_NaN();
  maturity::FurtherMeter second{std::vector<double>(data.tree.size(), missing), {}, {}};
  for (std::size_t i = 0; i < data.tree.size(); i += 2) {
    second.dm_pct[i] = data.meter[i] - 3.0;
    data.meter[i] = missing;
  }
  data.further_meters.push_back(second);
}

void estimate(benchmark::State& state, int trees, bool metered, double meter_slope_sd = 0.0,
              bool two_meters = false, bool unchecked_meter = false) {
  maturity::BlockData data = invented_block(trees, 5, metered);
  if (two_meters) {
    give_to_second_meter(data);
  }
  maturity::BlockRule rule;
  rule.minimum_dm_pct = 15.0;
  maturity::BlockOptions options;
  options.use_shape = maturity::UseShape::on;
  options.meter_slope_sd = meter_slope_sd;
  if (unchecked_meter) {
    options.meter_sep_pct = maturity::kMeterSepGuess;
    options.meter_sep_n = maturity::kMeterSepGuessFruit;
  }
  for (auto step : state) {
    static_cast<void>(step);
    benchmark::DoNotOptimize(maturity::estimate_block(data, rule, options).readiness);
  }
}

}  // namespace

BENCHMARK_CAPTURE(estimate, oven_only_60_fruit, 20, false)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate, with_meter_60_fruit, 20, true)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate, meter_slope_unknown_60_fruit, 20, true, 0.12)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate, as_seasons_are_scored_60_fruit, 20, true, 0.12, false, true)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate, two_meters_slope_unknown_60_fruit, 20, true, 0.12, true)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate, oven_only_90_fruit, 30, false)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate, with_meter_90_fruit, 30, true)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();
