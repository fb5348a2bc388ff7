#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

#include "libmaturity/readiness/shape_sorting.h"
#include "libmaturity/stats/normal.h"
#include "tools/simulate/mean_and_selective.h"
#include "tools/simulate/real_pairs.h"

namespace maturity::simulate {

namespace {

/// The line that a block's fit draws through its shapes: dry matter by shape alone.
struct ScoreLine {
  double mean = 0.0;
  double sd = 0.0;
  /// Correlation with true dry matter between the block's fruit.
  double correlation = 0.0;
};

ScoreLine line_of(const ShapeSorting& sorting, const BlockData& data, const Scenario& scenario) {
  const Eigen::Index n = data.shape.rows();
  Eigen::MatrixXd design(n, kDescriptors + 1);
  design << Eigen::VectorXd::Ones(n), data.shape;
  Eigen::VectorXd stated(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    stated[i] = sorting.shape_dm_pct[static_cast<std::size_t>(i)].value();
  }
  const Eigen::VectorXd line = design.colPivHouseholderQr().solve(stated);
  Eigen::MatrixXd between(kDescriptors, kDescriptors);
  for (int i = 0; i < kDescriptors; ++i) {
    for (int j = 0; j < kDescriptors; ++j) {
      between(i, j) = std::pow(0.5, std::abs(i - j));
    }
  }
  const Eigen::VectorXd along = between * line.tail(kDescriptors);
  const double sd = std::sqrt(line.tail(kDescriptors).dot(along));
  const double slope = unit_slope() * std::sqrt(scenario.explained);
  return {line[0], sd, std::clamp(slope * along.sum() / sd, -1.0, 1.0)};
}

struct SelectiveTally {
  double blocks = 0.0;
  double stated_taken = 0.0;
  double true_taken = 0.0;
  double taken_covered = 0.0;
  double stated = 0.0;
  double truth = 0.0;
  double covered = 0.0;
  double blind_covers = 0.0;
  double correlation_covered = 0.0;
};

bool range_holds(const Interval& interval, double value) {
  return interval.low <= value && value <= interval.high;
}

void count(SelectiveTally& tally, const ShapeSorting& sorting, const ShapeCut& cut,
           const ScoreLine& line, const Drawn& drawn, const Scenario& scenario) {
  tally.blocks += 1.0;
  const double above = (cut.cut_dm_pct - line.mean) / line.sd;
  const double truth = share_below_among_taken((kMinimum - drawn.true_mean) / scenario.spread_sd,
                                               std::clamp(above, -8.0, 8.0), line.correlation);
  const double taken = normal_cdf(-above);
  tally.stated_taken += cut.taken;
  tally.true_taken += taken;
  tally.taken_covered += range_holds(cut.taken_interval, taken) ? 1.0 : 0.0;
  tally.stated += cut.immature_taken.median;
  tally.truth += truth;
  tally.covered += range_holds(cut.immature_taken.interval, truth) ? 1.0 : 0.0;
  tally.blind_covers += range_holds(cut.immature_blind.interval, truth) ? 1.0 : 0.0;
  tally.correlation_covered +=
      range_holds(sorting.correlation_interval.value(), line.correlation) ? 1.0 : 0.0;
}

}  // namespace

void print_selective(std::ostream& out, const std::vector<Scenario>& scenarios,
                     const Settings& settings) {
  constexpr std::array<double, 2> kLeft{0.5, 0.75};
  out << "| scenario | cut that leaves | taken: stated, true, 95 covers | immature among them: "
         "stated, true, 95 covers | interval of a blind pick covers | correlation 95 covers |\n"
         "|---|---|---|---|---|---|\n";
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  BlockOptions options;
  options.use_shape = UseShape::on;
  options.meter_slope = settings.method.meter_slope;
  options.meter_slope_sd = settings.method.meter_slope_sd;
  options.meter_sep_pct = settings.method.meter_sep;
  options.meter_sep_n = settings.method.meter_sep_n;
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    if (scenarios[s].name.rfind(settings.only, 0) != 0) {
      continue;
    }
    const Sampler sampler(scenarios[s], seed_of(settings, 10, s));
    std::array<SelectiveTally, kLeft.size()> tallies{};
    for (int r = 0; r < settings.replicates; ++r) {
      const Drawn drawn = sampler.draw(r);
      const ShapeSorting plain = sort_by_shape(drawn.data, rule, options, {});
      if (!plain.correlation) {
        continue;  // the oven fruit look picked, by chance: nothing is stated
      }
      const ScoreLine line = line_of(plain, drawn.data, scenarios[s]);
      std::vector<double> cuts;
      cuts.reserve(kLeft.size());
      for (const double left : kLeft) {
        cuts.push_back(line.mean + line.sd * normal_quantile(left));
      }
      const ShapeSorting sorting = sort_by_shape(drawn.data, rule, options, cuts);
      for (std::size_t k = 0; k < kLeft.size(); ++k) {
        count(tallies.at(k), sorting, sorting.cuts.at(k), line, drawn, scenarios[s]);
      }
    }
    for (std::size_t k = 0; k < kLeft.size(); ++k) {
      const SelectiveTally& one = tallies.at(k);
      const auto share = [&](double sum, int digits) { return decimals(sum / one.blocks, digits); };
      out << "| " << scenarios[s].name << " | " << decimals(kLeft.at(k), 2) << " | "
          << share(one.stated_taken, 2) << ", " << share(one.true_taken, 2) << ", "
          << share(one.taken_covered, 3) << " | " << share(one.stated, 3) << ", "
          << share(one.truth, 3) << ", " << share(one.covered, 3) << " | "
          << share(one.blind_covers, 3) << " | " << share(one.correlation_covered, 3) << " |\n";
    }
  }
}

}  // namespace maturity::simulate
