#include "tools/simulate/real_pairs.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <iomanip>
#include <limits>
#include <map>
#include <numeric>
#include <sstream>
#include <stdexcept>
#include <utility>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/readiness/node_solver.h"
#include "libmaturity/readiness/variance_grid.h"
#include "libmaturity/stats/one_way.h"
#include "libmaturity/stats/random_stream.h"

namespace maturity::simulate {

namespace {

constexpr std::size_t kMetered = 60;
constexpr std::size_t kInOven = 15;
constexpr double kAsked = 0.9;

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream text(line);
  for (std::string cell; std::getline(text, cell, ',');) {
    if (!cell.empty() && cell.back() == '\r') {
      cell.pop_back();
    }
    cells.push_back(cell);
  }
  return cells;
}

double number_in(const std::vector<std::string>& cells, std::size_t column, int row) {
  const std::string cell = column < cells.size() ? cells[column] : "";
  std::size_t used = 0;
  double value = 0.0;
  try {
    value = std::stod(cell, &used);
  } catch (const std::logic_error&) {
    used = 0;
  }
  if (used == 0 || used != cell.size()) {
    throw std::runtime_error("row " + std::to_string(row) + ": \"" + cell + "\" is no number");
  }
  return value;
}

double mean_of(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double sd_of(const std::vector<double>& values) {
  const double mean = mean_of(values);
  double square = 0.0;
  for (const double value : values) {
    square += (value - mean) * (value - mean);
  }
  return std::sqrt(square / (static_cast<double>(values.size()) - 1.0));
}

/// What the meter does in one population.
struct MeterFacts {
  double bias = 0.0;
  double sep = 0.0;
  /// Meter regressed on oven.
  double slope = 0.0;
};

MeterFacts facts_of(const Population& group) {
  std::vector<double> error;
  double cross = 0.0;
  double square = 0.0;
  const double oven = mean_of(group.oven);
  for (std::size_t i = 0; i < group.oven.size(); ++i) {
    error.push_back(group.meter[i] - group.oven[i]);
    cross += (group.oven[i] - oven) * group.meter[i];
    square += (group.oven[i] - oven) * (group.oven[i] - oven);
  }
  return {mean_of(error), sd_of(error), cross / square};
}

std::string decimals(double value, int digits) {
  std::ostringstream text;
  text << std::fixed << std::setprecision(digits) << value;
  return text.str();
}

double share_within(const std::vector<double>& values, double limit) {
  const auto inside = std::count_if(values.begin(), values.end(),
                                    [&](double value) { return std::abs(value) <= limit; });
  return static_cast<double>(inside) / static_cast<double>(values.size());
}

}  // namespace

std::vector<Population> read_pairs(std::istream& csv) {
  std::string line;
  std::getline(csv, line);
  const std::vector<std::string> header = cells_of(line);
  const auto column = [&](const std::string& name) {
    const auto found = std::find(header.begin(), header.end(), name);
    if (found == header.end()) {
      throw std::runtime_error("no column " + name);
    }
    return static_cast<std::size_t>(found - header.begin());
  };
  const std::size_t population = column("population");
  const std::size_t instrument = column("instrument");
  const std::size_t oven = column("dm_reference_pct");
  const std::size_t meter = column("dm_nir_pred_pct");
  std::vector<Population> groups;
  std::map<std::pair<std::string, std::string>, std::size_t> index;
  for (int row = 2; std::getline(csv, line); ++row) {
    const std::vector<std::string> cells = cells_of(line);
    if (cells.size() <= std::max({population, instrument, oven, meter})) {
      throw std::runtime_error("row " + std::to_string(row) + ": too few cells");
    }
    const auto [place, added] =
        index.try_emplace({cells[population], cells[instrument]}, groups.size());
    if (added) {
      groups.push_back({cells[population], cells[instrument], {}, {}});
    }
    groups[place->second].oven.push_back(number_in(cells, oven, row));
    groups[place->second].meter.push_back(number_in(cells, meter, row));
  }
  if (groups.empty()) {
    throw std::runtime_error("no pairs");
  }
  return groups;
}

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

namespace {

struct Way {
  std::string what;
  bool oven = true;
  bool meter = true;
  Method method;
};

/// What blocks of all populations came to, for one way of estimating.
struct Tally {
  double n = 0.0;
  double mean_95 = 0.0;
  double mean_80 = 0.0;
  double share_95 = 0.0;
  double share_80 = 0.0;
  double normal_share_95 = 0.0;
  double width = 0.0;
  double square = 0.0;
  double error = 0.0;
  double ready = 0.0;
  double not_yet = 0.0;
  double bias_95 = 0.0;
};

bool holds(const Interval& interval, double value) {
  return interval.low <= value && value <= interval.high;
}

/// The minimum that leaves this share of the population at or above it: halfway between readings.
double minimum_for(std::vector<double> oven, double share) {
  std::sort(oven.begin(), oven.end());
  const auto below =
      static_cast<std::size_t>(std::lround((1.0 - share) * static_cast<double>(oven.size())));
  return 0.5 * (oven[below - 1] + oven[below]);
}

double share_at(const std::vector<double>& oven, double minimum) {
  const auto above =
      std::count_if(oven.begin(), oven.end(), [&](double value) { return value >= minimum; });
  return static_cast<double>(above) / static_cast<double>(oven.size());
}

}  // namespace

void print_population_blocks(std::ostream& out, const std::vector<Population>& populations,
                             const Settings& settings) {
  const std::vector<Way> ways{{"15 oven", true, false, {}},
                              {"15 oven, 60 meter, slope taken as 1", true, true, {}},
                              {"  0.85 .12", true, true, {true, 0.85, 0.12, {}, {}}},
                              {"  0.85 .12 sep 0.75 .35", true, true, {true, 0.85, 0.12, 0.75, 5}},
                              {"  0.85 .15 sep 0.75 .35", true, true, {true, 0.85, 0.15, 0.75, 5}},
                              {"  0.9 .15 sep 0.8 .35", true, true, {true, 0.9, 0.15, 0.8, 5}},
                              {"  1 0 sep 0.75 .35", true, true, {true, 1.0, 0.0, 0.75, 5}}};
  const std::array<double, 3> targets{0.85, 0.89, 0.95};
  out << "| true share about | readings | mean 95 | mean 80 | share 95 | share 80 | normal share "
         "95 | width of mean 95 "
         "| error of mean (RMS) | bias of mean | \"ready\" | \"not yet\" | meter's bias 95 |\n"
         "|---|---|---|---|---|---|---|---|---|---|---|---|---|\n";
  for (const double target : targets) {
    std::vector<Tally> tallies(ways.size());
    double true_share = 0.0;
    for (std::size_t p = 0; p < populations.size(); ++p) {
      const Population& group = populations[p];
      const double minimum = minimum_for(group.oven, target);
      const double share = share_at(group.oven, minimum);
      const double mean = mean_of(group.oven);
      const double bias = facts_of(group).bias;
      const double normal_share = normal_cdf((mean - minimum) / sd_of(group.oven));
      true_share += share / static_cast<double>(populations.size());
      RandomStream random(settings.seed + (5ULL << 40U) + (static_cast<std::uint64_t>(p) << 24U));
      for (int r = 0; r < settings.replicates; ++r) {
        BlockData drawn;
        for (std::size_t i = 0; i < kMetered; ++i) {
          const std::size_t pick = random.below(group.oven.size());
          drawn.tree.push_back(std::to_string(i));
          drawn.oven.push_back(i < kInOven ? group.oven[pick]
                                           : std::numeric_limits<double>::quiet_NaN());
          drawn.meter.push_back(group.meter[pick]);
        }
        for (std::size_t w = 0; w < ways.size(); ++w) {
          BlockData data = drawn;
          if (!ways[w].oven) {
            data.oven.clear();
          }
          if (!ways[w].meter) {
            data.meter.clear();
            data.tree.resize(kInOven);
            data.oven.resize(kInOven);
          }
          BlockRule rule;
          rule.minimum_dm_pct = minimum;
          rule.required_share = kAsked;
          BlockOptions options;
          options.meter_slope = ways[w].method.meter_slope;
          options.meter_slope_sd = ways[w].method.meter_slope_sd;
          options.meter_sep_pct = ways[w].method.meter_sep;
          options.meter_sep_n = ways[w].method.meter_sep_n;
          const BlockEstimate block = estimate_block(data, rule, options);
          Tally& tally = tallies[w];
          const Interval interval = block.mean_dm_interval.value();
          const double error = block.mean_dm_pct.value() - mean;
          tally.n += 1.0;
          tally.mean_95 += holds(interval, mean) ? 1.0 : 0.0;
          tally.mean_80 += holds(block.mean_dm_interval_80.value(), mean) ? 1.0 : 0.0;
          tally.share_95 += holds(block.share_interval.value(), share) ? 1.0 : 0.0;
          tally.share_80 += holds(block.share_interval_80.value(), share) ? 1.0 : 0.0;
          tally.normal_share_95 += holds(block.share_interval.value(), normal_share) ? 1.0 : 0.0;
          tally.width += interval.high - interval.low;
          tally.square += error * error;
          tally.error += error;
          tally.ready += block.decision == Decision::ready ? 1.0 : 0.0;
          tally.not_yet += block.decision == Decision::not_yet ? 1.0 : 0.0;
          if (block.meter_bias) {
            tally.bias_95 += std::abs(block.meter_bias->mean - bias) <= 1.96 * block.meter_bias->sd;
          }
        }
      }
    }
    for (std::size_t w = 0; w < ways.size(); ++w) {
      const Tally& t = tallies[w];
      out << "| " << decimals(true_share, 3) << " | " << ways[w].what;
      for (const double sum : {t.mean_95, t.mean_80, t.share_95, t.share_80, t.normal_share_95}) {
        out << " | " << decimals(sum / t.n, 3);
      }
      out << " | " << decimals(t.width / t.n, 2) << " | " << decimals(std::sqrt(t.square / t.n), 2)
          << " | " << decimals(t.error / t.n, 2) << " | " << decimals(t.ready / t.n, 3) << " | "
          << decimals(t.not_yet / t.n, 3) << " | "
          << (ways[w].meter ? decimals(t.bias_95 / t.n, 3) : "-") << " |\n";
    }
  }
  out << "\n" << populations.size() << " groups, " << settings.replicates << " blocks of each.\n";
}

}  // namespace maturity::simulate
