#pragma once

#include <cstdint>
#include <ostream>
#include <string>
#include <vector>

#include "tools/simulate/replicate.h"
#include "tools/simulate/scenario.h"

namespace maturity::simulate {

struct Settings {
  int replicates = 400;
  std::uint64_t seed = 20250101;
  Method method;
  /// Only scenarios whose name begins so; the others keep their seeds.
  std::string only;
};

/// Every table and scenario has its own stretch of seeds, far longer than its replicates.
std::uint64_t seed_of(const Settings& settings, std::uint64_t table, std::size_t scenario);

/// Coverage, width and error by scenario; true share drawn between 0.62 and 0.986.
void print_coverage(std::ostream& out, const std::vector<Scenario>& scenarios,
                    const Settings& settings);

/// Stated readiness against how often the rule was truly met, all scenarios together.
void print_reliability(std::ostream& out, const std::vector<Scenario>& scenarios,
                       const Settings& settings);

/// How often "ready" is said at true shares below, at and above the 0.90 asked for.
void print_false_ready(std::ostream& out, const std::vector<Scenario>& scenarios,
                       const Settings& settings);

/// Coverage and stated chance of the forecast, by number of visits.
void print_forecast(std::ostream& out, const Settings& settings);

}  // namespace maturity::simulate
