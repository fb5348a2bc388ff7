#include "tools/simulate/real_meters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <map>
#include <string>

#include "libmaturity/readiness/node_solver.h"
#include "libmaturity/readiness/variance_grid.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/one_way.h"
#include "libmaturity/stats/random_stream.h"

namespace maturity::simulate {

namespace {

double share_within(const std::vector<double>& values, double limit) {
  const auto inside = std::count_if(values.begin(), values.end(),
                                    [&](double value) { return std::abs(value) <= limit; });
  return static_cast<double>(inside) / static_cast<double>(values.size());
}

}  // namespace

void print_meter_errors(std::ostream& out, const std::vector<Population>& populations) {
  out << "| population | instruments | pairs | oven mean, SD | bias, range over instruments | SEP "
         "| "
         "slope |\n|---|---|---|---|---|---|---|\n";
  std::vector<std::string> names;
  std::map<std::string, std::vector<const Population*>> by_name;
  std::map<std::string, std::vector<double>> by_instrument;
  std::vector<double> biases;
  std::vector<double> seps;
  std::vector<double> slopes;
  for (const Population& group : populations) {
    if (by_name[group.population].empty()) {
      names.push_back(group.population);
    }
    by_name[group.population].push_back(&group);
    const MeterFacts facts = facts_of(group);
    biases.push_back(facts.bias);
    seps.push_back(facts.sep);
    slopes.push_back(facts.slope);
    by_instrument[group.instrument].push_back(facts.bias);
  }
  for (const std::string& name : names) {
    std::vector<double> oven;
    std::array<std::vector<double>, 3> of_instruments;
    for (const Population* group : by_name[name]) {
      oven.insert(oven.end(), group->oven.begin(), group->oven.end());
      const MeterFacts facts = facts_of(*group);
      of_instruments[0].push_back(facts.bias);
      of_instruments[1].push_back(facts.sep);
      of_instruments[2].push_back(facts.slope);
    }
    const auto [least, most] =
        std::minmax_element(of_instruments[0].begin(), of_instruments[0].end());
    out << "| " << name << " | " << by_name[name].size() << " | " << oven.size() << " | "
        << decimals(mean_of(oven), 2) << ", " << decimals(sd_of(oven), 2) << " | "
        << decimals(mean_of(of_instruments[0]), 2) << ", " << decimals(*least, 2) << " to "
        << decimals(*most, 2) << " | " << decimals(mean_of(of_instruments[1]), 2) << " | "
        << decimals(mean_of(of_instruments[2]), 2) << " |\n";
  }
  double square = 0.0;
  for (const double bias : biases) {
    square += bias * bias / static_cast<double>(biases.size());
  }
  std::vector<std::vector<double>> groups;
  for (const auto& [instrument, values] : by_instrument) {
    if (values.size() > 1) {
      groups.push_back(values);
    }
  }
  const OneWay parts = analyse_one_way(groups);
  out << "\n"
      << biases.size() << " groups (population and instrument). Bias: root mean square "
      << decimals(std::sqrt(square), 2) << "; within the central 95 % and 80 % of the prior N(0, "
      << kMeterBiasSd << "^2) lie " << decimals(share_within(biases, 1.959964 * kMeterBiasSd), 3)
      << " and " << decimals(share_within(biases, 1.281552 * kMeterBiasSd), 3)
      << " of them. SEP: mean " << decimals(mean_of(seps), 2) << ", SD " << decimals(sd_of(seps), 2)
      << " (prior: " << kMeterSdGuess << " with 20 %). Slope: mean " << decimals(mean_of(slopes), 2)
      << ", SD " << decimals(sd_of(slopes), 2)
      << ". Bias of one instrument between populations: SD "
      << decimals(std::sqrt(parts.within_variance), 2) << "; between instruments "
      << decimals(std::sqrt(parts.between_variance), 2) << " (" << groups.size()
      << " instruments used on several populations).\n";
}

void print_borrowed_bias(std::ostream& out, const std::vector<Population>& populations,
                         const Settings& settings) {
  constexpr std::size_t kReadings = 60;
  constexpr std::size_t kFewestOthers = 3;
  constexpr std::array<double, 4> kShares{0.85, 0.89, 0.95, 0.98};
  const double asked = normal_quantile(0.9);
  std::map<std::string, std::vector<std::size_t>> by_instrument;
  for (std::size_t p = 0; p < populations.size(); ++p) {
    by_instrument[populations[p].instrument].push_back(p);
  }
  struct Row {
    double n = 0.0;
    double covered = 0.0;
    double ready = 0.0;
    double sd = 0.0;
  };
  std::array<Row, kShares.size()> rows{};
  for (const auto& [instrument, members] : by_instrument) {
    if (members.size() <= kFewestOthers) {
      continue;
    }
    for (const std::size_t p : members) {
      const Population& group = populations[p];
      std::vector<double> others;
      for (const std::size_t other : members) {
        if (populations[other].population != group.population) {
          others.push_back(facts_of(populations[other]).bias);
        }
      }
      const double expected = mean_of(others);
      const double spread = sd_of(others);
      const double error = spread * std::sqrt(1.0 + 1.0 / static_cast<double>(others.size()));
      RandomStream random(settings.seed + (6ULL << 40U) + (static_cast<std::uint64_t>(p) << 24U));
      for (std::size_t s = 0; s < kShares.size(); ++s) {
        // psi at its best: slope and spread of the fruit taken as known, only the bias is not.
        const double minimum =
            mean_of(group.oven) - normal_quantile(kShares.at(s)) * sd_of(group.oven);
        for (int r = 0; r < settings.replicates; ++r) {
          double read = 0.0;
          for (std::size_t i = 0; i < kReadings; ++i) {
            read += group.meter[random.below(group.meter.size())] / kReadings;
          }
          const double sd = std::hypot(error, sd_of(group.meter) / std::sqrt(kReadings));
          const double mean = read - expected;
          Row& row = rows.at(s);
          row.n += 1.0;
          row.sd += sd;
          row.covered += std::abs(mean - mean_of(group.oven)) <= 1.96 * sd ? 1.0 : 0.0;
          row.ready += mean - asked * sd_of(group.oven) - asked * sd >= minimum ? 1.0 : 0.0;
        }
      }
    }
  }
  out << "| share (normal) | mean 95 | SD of mean | \"ready\" at 0.9 |\n|---|---|---|---|\n";
  for (std::size_t s = 0; s < kShares.size(); ++s) {
    const Row& row = rows.at(s);
    out << "| " << decimals(kShares.at(s), 2) << " | " << decimals(row.covered / row.n, 3) << " | "
        << decimals(row.sd / row.n, 2) << " | " << decimals(row.ready / row.n, 3) << " |\n";
  }
}

}  // namespace maturity::simulate
