#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/real_meters.h"

namespace maturity::simulate {

namespace {

constexpr std::size_t kMetered = 60;
constexpr std::size_t kInOven = 15;
constexpr double kAsked = 0.9;

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

}  // namespace

void print_population_blocks(std::ostream& out, const std::vector<Population>& populations,
                             const Settings& settings) {
  const Method guess;
  Method exact;
  exact.meter_slope = 1.0;
  exact.meter_slope_sd = 0.0;
  const std::vector<Way> ways{{"15 oven", true, false, exact},
                              {"15 oven, 60 meter, slope taken as 1", true, true, exact},
                              {"15 oven, 60 meter, slope 0.85 (SD 0.12)", true, true, guess},
                              {"60 meter, no oven, slope 0.85 (SD 0.12)", false, true, guess}};
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
            tally.bias_95 +=
                std::abs(block.meter_bias->mean - bias) <= 1.96 * block.meter_bias->sd ? 1.0 : 0.0;
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
