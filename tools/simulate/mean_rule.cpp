#include <array>
#include <cmath>
#include <cstddef>

#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/mean_and_selective.h"
#include "tools/simulate/real_pairs.h"
#include "tools/simulate/reliability_bins.h"

namespace maturity::simulate {

void print_mean_rule(std::ostream& out, const std::vector<Scenario>& scenarios,
                     const Settings& settings) {
  // True mean less the minimum, in standard deviations of the fruit.
  constexpr std::array<double, 4> kAbove{-0.3, -0.1, 0.3, 0.6};
  constexpr double kFarthest = 0.8;
  Settings by_mean = settings;
  by_mean.method.rule = RuleKind::mean;
  ReliabilityBins stated;
  out << "| scenario |";
  for (const double above : kAbove) {
    out << " mean " << decimals(above, 1) << R"( SD: "ready", "not yet" |)";
  }
  out << "\n|---|---|---|---|---|\n";
  const auto n = static_cast<double>(settings.replicates);
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    if (scenarios[s].name.rfind(settings.only, 0) != 0) {
      continue;
    }
    const Sampler sampler(scenarios[s], seed_of(settings, 9, s));
    out << "| " << scenarios[s].name << " |";
    for (const double above : kAbove) {
      double ready = 0.0;
      double not_yet = 0.0;
      for (int r = 0; r < settings.replicates; ++r) {
        const Outcome outcome = run(sampler.draw_with_mean(r, above), by_mean.method);
        ready += outcome.ready ? 1.0 / n : 0.0;
        not_yet += outcome.not_yet ? 1.0 / n : 0.0;
      }
      out << " " << decimals(ready, 3) << ", " << decimals(not_yet, 3) << " |";
    }
    out << "\n";
    RandomStream level(seed_of(settings, 11, s));
    for (int r = 0; r < settings.replicates; ++r) {
      const double above = kFarthest * (2.0 * level.uniform() - 1.0);
      stated.add(
          run(sampler.draw_with_mean(settings.replicates + r, above), by_mean.method).readiness,
          above >= 0.0);
    }
  }
  out << "\n| stated readiness, rule mean | stated, true (SE), blocks |\n|---|---|\n";
  for (std::size_t b = 0; b < ReliabilityBins::count(); ++b) {
    out << "| " << ReliabilityBins::label(b) << " | " << stated.cell(b) << " |\n";
  }
}

}  // namespace maturity::simulate
