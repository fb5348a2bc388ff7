// Outlines of 512 points to pose and descriptors: how many a second on one core.
#include <benchmark/benchmark.h>

#include <cmath>
#include <numbers>

#include "libmaturity/descriptors/describe_outline.h"

namespace maturity {
namespace {

/// An egg with a beak and a sinus, in mm.
Polygon egg_with_beak(std::size_t points) {
  Polygon outline;
  for (std::size_t i = 0; i < points; ++i) {
    const double t = 2.0 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(points);
    const double radial = 1.0 + 0.03 * std::exp(-std::pow((t - 0.55) / 0.12, 2)) -
                          0.02 * std::exp(-std::pow((t - 1.0) / 0.2, 2));
    outline.emplace_back(60.0 * radial * std::cos(t),
                         45.0 * radial * std::sin(t) * (1.0 - 0.12 * std::cos(t)));
  }
  return outline;
}

void describe(benchmark::State& state, bool with_errors, bool pose_stated) {
  const Polygon outline = egg_with_beak(512);
  DescribeOptions options;
  options.with_errors = with_errors;
  options.edge_sd = 0.2;
  options.edge_correlation_length = 2.5;
  const Pose pose = describe_outline(outline, options).pose;
  for (auto _ : state) {
    benchmark::DoNotOptimize(pose_stated ? describe_outline(outline, pose, options)
                                         : describe_outline(outline, options));
  }
  state.SetItemsProcessed(state.iterations());
}

BENCHMARK_CAPTURE(describe, values, false, false);
BENCHMARK_CAPTURE(describe, values_with_errors, true, false);
BENCHMARK_CAPTURE(describe, values_pose_stated, false, true);
BENCHMARK_CAPTURE(describe, values_with_errors_pose_stated, true, true);

}  // namespace
}  // namespace maturity

BENCHMARK_MAIN();
