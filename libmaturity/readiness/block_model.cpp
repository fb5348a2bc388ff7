#include "libmaturity/readiness/block_model.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace maturity {

namespace {

constexpr double kSmallestOvenSd = 0.01;

/// Odd; steps of the logarithm of the meter's error no wider than a large sample can tell apart.
/// Nodes of the slope multiply the grid, so that fewer must do with them.
int meter_points(double log_sd, bool slope_known) {
  const double widest_step = slope_known ? 0.25 : 0.3;
  const int fewest = slope_known ? 7 : 5;
  const int wanted = 2 * static_cast<int>(std::ceil(kMeterReach * log_sd / widest_step)) + 1;
  return std::max(fewest, wanted);
}

/// Standard error of a log standard deviation from n values: 1/sqrt(2(n-1)).
double log_sd_of(std::optional<int> sep_n) {
  return sep_n ? 1.0 / std::sqrt(2.0 * (*sep_n - 1.0)) : kMeterSdGuessLogSd;
}

}  // namespace

double value_at(const std::vector<double>& values, std::size_t i) {
  return i < values.size() ? values[i] : std::numeric_limits<double>::quiet_NaN();
}

bool BlockData::metered(std::size_t i) const {
  return !std::isnan(value_at(meter, i)) ||
         std::any_of(further_meters.begin(), further_meters.end(),
                     [&](const FurtherMeter& one) { return !std::isnan(value_at(one.dm_pct, i)); });
}

GridModel model_of(const BlockData& data, const BlockOptions& options, const BlockDesign& design) {
  GridModel model;
  const PhaseOne& one = design.phase_one;
  model.rows.x.resize(static_cast<Eigen::Index>(design.rows.size()), one.x.cols());
  bool metered = false;
  model.rows.further_meters.resize(data.further_meters.size());
  for (std::size_t r = 0; r < design.rows.size(); ++r) {
    const auto i = static_cast<std::size_t>(design.rows[r]);
    model.rows.tree.push_back(design.tree[i]);
    model.rows.x.row(static_cast<Eigen::Index>(r)) = one.x.row(design.rows[r]);
    model.rows.oven.push_back(value_at(data.oven, i) - kLevelGuess);
    model.rows.meter.push_back(value_at(data.meter, i) - kLevelGuess);
    for (std::size_t m = 0; m < data.further_meters.size(); ++m) {
      model.rows.further_meters[m].push_back(value_at(data.further_meters[m].dm_pct, i) -
                                             kLevelGuess);
    }
    metered = metered || data.metered(i);
  }
  model.between_fruit = one.between_fruit;
  model.of_the_mean = one.of_the_mean;
  model.phase_one_fruit = one.fruit;
  const double meter_log_sd = log_sd_of(options.meter_sep_n);
  double widest = meter_log_sd;
  for (const FurtherMeter& meter : data.further_meters) {
    model.further_errors.push_back({meter.sep_pct.value_or(kMeterSdGuess), log_sd_of(meter.sep_n)});
    widest = std::max(widest, model.further_errors.back().log_sd);
  }
  model.variances =
      variance_grid(metered, options.meter_sep_pct.value_or(kMeterSdGuess), meter_log_sd,
                    meter_points(widest, options.meter_slope_sd == 0.0));
  model.expected = design.expected;
  model.slope_nodes = slope_nodes(one.x.cols(), design.robust, design.expected.has_value());
  const double oven_sd = std::max(options.oven_sd_pct, kSmallestOvenSd);
  model.oven_variance = oven_sd * oven_sd;
  model.drop_below = options.drop_nodes_below;
  return model;
}

}  // namespace maturity
