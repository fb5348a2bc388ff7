#include "libmaturity/readiness/block_estimate.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <set>
#include <utility>

#include "libmaturity/readiness/block_design.h"
#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/readiness/block_model.h"
#include "libmaturity/readiness/check_block_input.h"
#include "libmaturity/readiness/decision.h"
#include "libmaturity/readiness/estimated_block.h"
#include "libmaturity/readiness/grid_posterior.h"
#include "libmaturity/readiness/meter_slope.h"
#include "libmaturity/readiness/residual_skewness.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/two_normals.h"

namespace maturity {

namespace {

/// Fewer readings than these find two groups only where they lie far apart (see the evidence in
/// docs/method/block-estimate-evidence.md).
constexpr int kFewestOvenForHumps = 30;
constexpr int kFewestMeterForHumps = 60;
/// A few trees that differ much make humps of their own.
constexpr int kFewestTreesForHumps = 15;
constexpr double kEdgeWeight = 0.05;
constexpr double kNoShapeLikely = 0.5;
constexpr double kNormal95 = 1.959963984540054;
constexpr double kToPerHundred = 100.0;

BlockCounts counts_of(const BlockData& data, const BlockDesign& design) {
  BlockCounts counts;
  counts.fruit = static_cast<int>(design.rows.size());
  counts.trees = design.trees;
  counts.phase_one_fruit = design.phase_one.fruit;
  counts.phase_one_trees = design.phase_one.trees;
  counts.left_out_without_photo = design.left_out_without_photo;
  std::set<int> oven_trees;
  for (const int row : design.rows) {
    const auto i = static_cast<std::size_t>(row);
    const bool in_oven = !std::isnan(value_at(data.oven, i));
    const bool metered = data.metered(i);
    counts.oven_fruit += in_oven ? 1 : 0;
    counts.meter_fruit += metered ? 1 : 0;
    counts.meter_only_fruit += metered && !in_oven ? 1 : 0;
    if (in_oven) {
      oven_trees.insert(design.tree[i]);
    }
  }
  counts.oven_trees = static_cast<int>(oven_trees.size());
  return counts;
}

/// Mean, share, psi and spread; the share of the mixture at the rule.
double fill_block(const BlockMixture& mixture, BlockEstimate& estimate) {
  const MeanSd mean = mixture.mean();
  const double z = normal_quantile(estimate.rule.required_share);
  const MeanSd psi = mixture.psi(z);
  const MeanSd spread = mixture.spread();
  estimate.mean_dm_pct = mean.mean;
  estimate.mean_dm_sd = mean.sd;
  estimate.mean_dm_interval = {mixture.mean_quantile(0.025), mixture.mean_quantile(0.975)};
  estimate.mean_dm_interval_80 = {mixture.mean_quantile(0.1), mixture.mean_quantile(0.9)};
  estimate.share_mature = mixture.share_quantile(0.5);
  estimate.share_interval = {mixture.share_quantile(0.025), mixture.share_quantile(0.975)};
  estimate.share_interval_80 = {mixture.share_quantile(0.1), mixture.share_quantile(0.9)};
  estimate.psi_mean = psi.mean;
  estimate.psi_sd = psi.sd;
  estimate.spread_sd = spread.mean;
  estimate.spread_sd_se = spread.sd;
  const double readiness = estimate.rule.kind == RuleKind::mean ? mixture.mean_reaches_minimum()
                                                                : mixture.share_at_least(z);
  estimate.readiness = kToPerHundred * readiness;
  return readiness;
}

void fill_variances(const GridModel& model, const FittedBlock& fitted, bool robust,
                    BlockEstimate& estimate) {
  double tree = 0.0;
  double fruit = 0.0;
  double shape = 0.0;
  double explained = 0.0;
  double no_shape = 0.0;
  double first = 0.0;
  double last = 0.0;
  for (const GridNode& node : fitted.nodes) {
    const VariancePoint& point = model.variances[static_cast<std::size_t>(node.variance)];
    const SlopeNode& slope = model.slope_nodes[static_cast<std::size_t>(node.slope)];
    const double by_shape = node.spread_square - point.sigma * point.sigma;
    tree += node.weight * point.tree_variance();
    fruit += node.weight * point.fruit_variance();
    shape += node.weight * by_shape;
    explained += node.weight * by_shape / node.spread_square;
    no_shape += !slope.calibrated && slope.explained == 0.0 ? node.weight : 0.0;
    first += point.sigma_index == 0 ? node.weight : 0.0;
    last += point.sigma_index == kSigmaPoints - 1 ? node.weight : 0.0;
  }
  estimate.tree_variance = tree;
  estimate.fruit_variance = fruit;
  estimate.shape_variance = shape;
  if (model.rows.x.cols() > 0) {
    estimate.shape_r_squared = explained;
    if (!robust) {
      estimate.p_noshape = std::clamp(no_shape, 0.0, 1.0);
    }
  }
  if (std::max(first, last) > kEdgeWeight) {
    estimate.flags.push_back(BlockFlag::spread_outside_range);
  }
}

void fill_slopes(const BlockOptions& options, const BlockDesign& design, const FittedBlock& fitted,
                 BlockEstimate& estimate) {
  for (std::size_t j = 0; j < design.descriptors.size(); ++j) {
    const auto index = static_cast<Eigen::Index>(j);
    const auto column = static_cast<std::size_t>(design.descriptors[j]);
    const double sd = design.phase_one.sd[index];
    SlopeEstimate slope;
    slope.name = column < options.descriptor_names.size() ? options.descriptor_names[column]
                                                          : "shape " + std::to_string(column + 1);
    slope.per_sd = {fitted.phi[1 + index], fitted.phi_sd[1 + index]};
    slope.per_unit = {slope.per_sd.mean / sd, slope.per_sd.sd / sd};
    estimate.slopes.push_back(slope);
  }
}

bool read(const ModelRows& rows, std::size_t i) {
  bool any = !std::isnan(rows.oven[i]);
  for (int m = 0; m < rows.meters(); ++m) {
    any = any || !std::isnan(rows.readings_of(m)[i]);
  }
  return any;
}

/// Biases that no reading of the fruit used speaks of are left as they were before: unknown.
void fill_meters(const GridModel& model, const FittedBlock& fitted, BlockEstimate& estimate) {
  const Eigen::Index first = 1 + model.rows.x.cols();
  for (int m = 0; m < model.rows.meters(); ++m) {
    const bool in_model = first + m < fitted.phi.size();
    const MeanSd bias = in_model ? MeanSd{fitted.phi[first + m], fitted.phi_sd[first + m]}
                                 : MeanSd{0.0, model.meter_bias_sd};
    if (m > 0) {
      estimate.further_meter_bias.push_back(bias);
    } else if (in_model) {
      estimate.meter_bias = bias;
    }
  }
  estimate.meter_slope = fitted.meter_slope;
}

void fill_fruit(const BlockDesign& design, const GridModel& model,
                const std::vector<MeanSd>& predicted, BlockEstimate& estimate) {
  const bool shape_tells =
      !design.descriptors.empty() && estimate.p_noshape.value_or(0.0) < kNoShapeLikely;
  for (std::size_t r = 0; r < design.rows.size(); ++r) {
    FruitEstimate& fruit = estimate.fruit[static_cast<std::size_t>(design.rows[r])];
    const MeanSd& value = predicted[r];
    fruit.mean_dm_pct = value.mean;
    fruit.sd_pct = value.sd;
    fruit.interval = {value.mean - kNormal95 * value.sd, value.mean + kNormal95 * value.sd};
    fruit.about_block_average = !shape_tells && !read(model.rows, r);
  }
}

void fill_skewness(const GridModel& model, const FittedBlock& fitted, BlockEstimate& estimate) {
  std::vector<double> residuals = model.rows.oven;
  const Eigen::VectorXd expected =
      (model.rows.x * fitted.phi.segment(1, model.rows.x.cols())).array() + fitted.phi[0];
  for (std::size_t i = 0; i < residuals.size(); ++i) {
    residuals[i] -= expected[static_cast<Eigen::Index>(i)];
  }
  estimate.residual_skewness = skewness(residuals);
  const bool bent = bends_down({expected.begin(), expected.end()}, residuals);
  if (bent || leans_left(estimate.residual_skewness, estimate.counts.oven_fruit)) {
    estimate.flags.push_back(BlockFlag::left_skew);
  }
}

/// Two groups among the residuals of the oven fruit, or of those that a meter read.
void flag_humps(const GridModel& model, const FittedBlock& fitted, BlockEstimate& estimate) {
  const Eigen::VectorXd expected = model.rows.x * fitted.phi.segment(1, model.rows.x.cols());
  const auto two = [&](std::vector<double> residuals, int fruit, int trees, int fewest) {
    if (fruit < fewest || trees < kFewestTreesForHumps) {
      return false;
    }
    for (std::size_t i = 0; i < residuals.size(); ++i) {
      residuals[i] -= expected[static_cast<Eigen::Index>(i)];
    }
    const auto fit = fit_two_normals(residuals);
    return fit && fit->statistic > two_normals_limit(fruit);
  };
  const auto metered =
      static_cast<int>(std::count_if(model.rows.meter.begin(), model.rows.meter.end(),
                                     [](double reading) { return !std::isnan(reading); }));
  if (two(model.rows.oven, estimate.counts.oven_fruit, estimate.counts.oven_trees,
          kFewestOvenForHumps) ||
      two(model.rows.meter, metered, estimate.counts.trees, kFewestMeterForHumps)) {
    estimate.flags.push_back(BlockFlag::two_humps);
  }
}

void flag_readings(BlockEstimate& estimate) {
  const BlockCounts& counts = estimate.counts;
  if (counts.oven_fruit == 0) {
    estimate.flags.push_back(BlockFlag::meter_bias_not_checked);
  } else if (counts.oven_fruit < kFewestOvenFruit || counts.oven_trees < kFewestOvenTrees) {
    estimate.flags.push_back(BlockFlag::planning_guess_dominates);
  }
  if (estimate.p_noshape.value_or(0.0) >= kNoShapeLikely) {
    estimate.flags.push_back(BlockFlag::shape_adds_nothing);
  }
}

}  // namespace

EstimatedBlock estimate_with_posterior(const BlockData& data, const BlockRule& rule,
                                       const BlockOptions& options) {
  check_block_input(data, rule, options);
  const BlockDesign design = design_block(data, options);
  EstimatedBlock estimated;
  BlockEstimate& estimate = estimated.estimate;
  estimate.rule = rule;
  estimate.fruit.resize(data.tree.size());
  estimate.flags = design.flags;
  estimate.counts = counts_of(data, design);
  estimate.p_selection_by_shape = design.p_by_shape;
  estimate.p_selection_by_meter = design.p_by_meter;
  estimate.robust = design.robust;
  for (const int column : design.dropped) {
    const auto index = static_cast<std::size_t>(column);
    estimate.dropped_descriptors.push_back(index < options.descriptor_names.size()
                                               ? options.descriptor_names[index]
                                               : "shape " + std::to_string(column + 1));
  }
  if (estimate.counts.oven_fruit + estimate.counts.meter_fruit == 0) {
    estimate.flags.push_back(BlockFlag::no_dry_matter);
    estimate.reasons.push_back(BlockReason::no_dry_matter);
    estimated.blocks = estimate.reasons;
    return estimated;
  }
  if (options.calibration) {
    estimate.calibration_id = options.calibration->id;
    estimate.calibration_used = design.expected.has_value();
  }

  const GridModel model = model_of(data, options, design);
  FittedBlock fitted =
      fit_block(model, meter_slope_nodes(options.meter_slope, options.meter_slope_sd));
  const double readiness = fill_block(BlockMixture(fitted.nodes, rule.minimum_dm_pct), estimate);
  fill_variances(model, fitted, design.robust, estimate);
  fill_slopes(options, design, fitted, estimate);
  if (estimate.counts.meter_fruit > 0) {
    fill_meters(model, fitted, estimate);
  }
  flag_readings(estimate);
  fill_skewness(model, fitted, estimate);
  flag_humps(model, fitted, estimate);
  fill_fruit(design, model, fitted.fruit, estimate);

  DecisionInput input = decision_input(estimate, readiness);
  input.selection_not_corrected = design.selection_not_corrected;
  input.outside_calibration = design.outside_calibration;
  settle(input, estimate);
  estimated.blocks = what_blocks(input);
  estimated.nodes = std::move(fitted.nodes);
  return estimated;
}

BlockEstimate estimate_block(const BlockData& data, const BlockRule& rule,
                             const BlockOptions& options) {
  return estimate_with_posterior(data, rule, options).estimate;
}

}  // namespace maturity
