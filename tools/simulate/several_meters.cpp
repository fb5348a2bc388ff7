#include "tools/simulate/several_meters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "tools/simulate/real_pairs.h"

namespace maturity::simulate {

namespace {

constexpr std::array<const char*, 3> kWays{"own bias each", "taken for one meter",
                                           "one meter's readings only"};

/// The way of that index; the first leaves the block as it is.
BlockData seen(const BlockData& block, std::size_t way) {
  BlockData data = block;
  if (way == 0) {
    return data;
  }
  const std::vector<double>& second = block.further_meters.front().dm_pct;
  for (std::size_t i = 0; way == 1 && i < second.size(); ++i) {
    data.meter[i] = std::isnan(data.meter[i]) ? second[i] : data.meter[i];
  }
  data.further_meters.clear();
  return data;
}

struct MeterTally {
  double mean_95 = 0.0;
  double share_95 = 0.0;
  double share_80 = 0.0;
  double width = 0.0;
  double square = 0.0;
  double robust = 0.0;
  std::array<double, 2> ready{};
};

}  // namespace

void print_several_meters(std::ostream& out, const Settings& settings) {
  constexpr std::array<double, 2> kShares{0.89, 0.95};
  out << "| scenario | | two meters | mean 95 | share 95 | share 80 | width of mean 95 | error of "
         "mean (RMS) | treated as picked | \"ready\" at 0.89 | at 0.95 |\n"
         "|---|---|---|---|---|---|---|---|---|---|---|\n";
  const std::vector<Scenario> scenarios = meter_scenarios();
  const auto n = static_cast<double>(settings.replicates);
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    if (scenarios[s].name.rfind(settings.only, 0) != 0) {
      continue;
    }
    std::array<MeterTally, kWays.size()> tally{};
    const Sampler sampler(scenarios[s], seed_of(settings, 5, s));
    const Sampler at_share(scenarios[s], seed_of(settings, 6, s));
    for (int r = 0; r < settings.replicates; ++r) {
      Drawn drawn = sampler.draw(r);
      std::array<Drawn, kShares.size()> fixed{};
      for (std::size_t k = 0; k < kShares.size(); ++k) {
        fixed.at(k) = at_share.draw(r, kShares.at(k));
      }
      for (std::size_t w = 0; w < kWays.size(); ++w) {
        MeterTally& t = tally.at(w);
        const auto outcome_of = [&](const Drawn& block) {
          return run({seen(block.data, w), block.true_mean, block.true_share}, settings.method);
        };
        const Outcome outcome = outcome_of(drawn);
        const double error = outcome.mean - outcome.true_mean;
        t.mean_95 += outcome.mean_covered ? 1.0 / n : 0.0;
        t.share_95 += outcome.share_covered ? 1.0 / n : 0.0;
        t.share_80 += outcome.share_covered_80 ? 1.0 / n : 0.0;
        t.width += outcome.mean_width / n;
        t.square += error * error / n;
        t.robust += outcome.robust ? 1.0 / n : 0.0;
        for (std::size_t k = 0; k < kShares.size(); ++k) {
          t.ready.at(k) += outcome_of(fixed.at(k)).ready ? 1.0 / n : 0.0;
        }
      }
    }
    for (std::size_t w = 0; w < kWays.size(); ++w) {
      const MeterTally& t = tally.at(w);
      out << "| " << (w == 0 ? scenarios[s].name : "") << " | " << (w == 0 ? scenarios[s].what : "")
          << " | " << kWays.at(w) << " | " << decimals(t.mean_95, 3) << " | "
          << decimals(t.share_95, 3) << " | " << decimals(t.share_80, 3) << " | "
          << decimals(t.width, 2) << " | " << decimals(std::sqrt(t.square), 2) << " | "
          << decimals(t.robust, 2) << " | " << decimals(t.ready[0], 3) << " | "
          << decimals(t.ready[1], 3) << " |\n";
    }
  }
  out << "\nMonte Carlo standard error of 0.95: " << decimals(std::sqrt(0.95 * 0.05 / n), 3)
      << "; of 0.05: the same (" << settings.replicates << " blocks per scenario).\n";
}

}  // namespace maturity::simulate
