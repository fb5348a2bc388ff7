#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/real_fruit.h"
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
  double width = 0.0;
  double square = 0.0;
  double error = 0.0;
  double ready = 0.0;
  double not_yet = 0.0;
  double bias_95 = 0.0;
};

struct Truth {
  double minimum = 0.0;
  double share = 0.0;
  double mean = 0.0;
  double bias = 0.0;
};

bool holds(const Interval& interval, double value) {
  return interval.low <= value && value <= interval.high;
}

BlockData draw_block(const FruitSource& fruit, RandomStream& random) {
  BlockData drawn;
  for (std::size_t i = 0; i < kMetered; ++i) {
    const FruitPair pair = fruit.draw(random);
    drawn.tree.push_back(std::to_string(i));
    drawn.oven.push_back(i < kInOven ? pair.oven : std::numeric_limits<double>::quiet_NaN());
    drawn.meter.push_back(pair.meter);
  }
  return drawn;
}

BlockEstimate estimate(BlockData data, const Way& way, double minimum) {
  if (!way.oven) {
    data.oven.clear();
  }
  if (!way.meter) {
    data.meter.clear();
    data.tree.resize(kInOven);
    data.oven.resize(kInOven);
  }
  BlockRule rule;
  rule.minimum_dm_pct = minimum;
  rule.required_share = kAsked;
  BlockOptions options;
  options.meter_slope = way.method.meter_slope;
  options.meter_slope_sd = way.method.meter_slope_sd;
  options.meter_sep_pct = way.method.meter_sep;
  options.meter_sep_n = way.method.meter_sep_n;
  return estimate_block(data, rule, options);
}

void count(const BlockEstimate& block, const Truth& truth, Tally& tally) {
  const Interval interval = block.mean_dm_interval.value();
  const double error = block.mean_dm_pct.value() - truth.mean;
  tally.n += 1.0;
  tally.mean_95 += holds(interval, truth.mean) ? 1.0 : 0.0;
  tally.mean_80 += holds(block.mean_dm_interval_80.value(), truth.mean) ? 1.0 : 0.0;
  tally.share_95 += holds(block.share_interval.value(), truth.share) ? 1.0 : 0.0;
  tally.share_80 += holds(block.share_interval_80.value(), truth.share) ? 1.0 : 0.0;
  tally.width += interval.high - interval.low;
  tally.square += error * error;
  tally.error += error;
  tally.ready += block.decision == Decision::ready ? 1.0 : 0.0;
  tally.not_yet += block.decision == Decision::not_yet ? 1.0 : 0.0;
  if (block.meter_bias) {
    tally.bias_95 +=
        std::abs(block.meter_bias->mean - truth.bias) <= 1.96 * block.meter_bias->sd ? 1.0 : 0.0;
  }
}

void print_row(std::ostream& out, const std::string& kind, double share, const Way& way,
               const Tally& t) {
  out << "| " << kind << " | " << decimals(share, 3) << " | " << way.what;
  for (const double sum : {t.mean_95, t.mean_80, t.share_95, t.share_80}) {
    out << " | " << decimals(sum / t.n, 3);
  }
  out << " | " << decimals(t.width / t.n, 2) << " | " << decimals(std::sqrt(t.square / t.n), 2)
      << " | " << decimals(t.error / t.n, 2) << " | " << decimals(t.ready / t.n, 3) << " | "
      << decimals(t.not_yet / t.n, 3) << " | " << (way.meter ? decimals(t.bias_95 / t.n, 3) : "-")
      << " |\n";
}

}  // namespace

void print_population_blocks(std::ostream& out, const std::vector<Population>& populations,
                             const Settings& settings) {
  Method exact;
  exact.meter_slope = 1.0;
  exact.meter_slope_sd = 0.0;
  exact.meter_sep.reset();
  exact.meter_sep_n.reset();
  Method narrow = settings.method;
  narrow.meter_sep.reset();
  narrow.meter_sep_n.reset();
  const std::vector<Way> ways{
      {"15 oven", true, false, exact},
      {"15 oven, 60 meter", true, true, settings.method},
      {"15 oven, 60 meter, meter error 1.0 (20 %)", true, true, narrow},
      {"15 oven, 60 meter, slope taken as 1", true, true, exact},
      {"60 meter, no oven", false, true, settings.method},
  };
  const std::array<std::pair<FruitKind, std::string>, 3> kinds{
      {{FruitKind::own, "own fruit"},
       {FruitKind::smoothed, "smoothed"},
       {FruitKind::made_normal, "made normal"}}};
  // The slope taken as 1, and no oven at all, are shown for the fruit themselves only.
  constexpr std::size_t kWaysEverywhere = 3;
  const std::array<double, 3> targets{0.85, 0.89, 0.95};
  out << "| blocks of | true share | readings | mean 95 | mean 80 | share 95 | share 80 | width of "
         "mean 95 | error of mean (RMS) | bias of mean | \"ready\" | \"not yet\" | meter's bias 95 "
         "|\n|---|---|---|---|---|---|---|---|---|---|---|---|---|\n";
  for (const auto& [kind, kind_name] : kinds) {
    for (const double target : targets) {
      std::vector<Tally> tallies(kind == FruitKind::own ? ways.size() : kWaysEverywhere);
      double true_share = 0.0;
      for (std::size_t p = 0; p < populations.size(); ++p) {
        const FruitSource fruit(populations[p], kind);
        Truth truth;
        truth.minimum = fruit.minimum(target);
        truth.share = fruit.share(truth.minimum);
        truth.mean = fruit.mean();
        truth.bias = facts_of(populations[p]).bias;
        true_share += truth.share / static_cast<double>(populations.size());
        RandomStream random(settings.seed + (5ULL << 40U) + (static_cast<std::uint64_t>(p) << 24U));
        for (int r = 0; r < settings.replicates; ++r) {
          const BlockData drawn = draw_block(fruit, random);
          for (std::size_t w = 0; w < tallies.size(); ++w) {
            count(estimate(drawn, ways[w], truth.minimum), truth, tallies[w]);
          }
        }
      }
      for (std::size_t w = 0; w < tallies.size(); ++w) {
        print_row(out, kind_name, true_share, ways[w], tallies[w]);
      }
    }
  }
  out << "\n" << populations.size() << " groups, " << settings.replicates << " blocks of each.\n";
}

}  // namespace maturity::simulate
