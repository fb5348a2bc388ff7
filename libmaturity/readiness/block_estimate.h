#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_data.h"
#include "libmaturity/readiness/block_flags.h"

namespace maturity {

/// 95 % interval unless its name says otherwise.
struct Interval {
  double low = 0.0;
  double high = 0.0;
};

/// A value with its standard deviation (posterior).
struct MeanSd {
  double mean = 0.0;
  double sd = 0.0;
};

/// How many fruit and trees went into an estimate, and how many did not.
struct BlockCounts {
  int fruit = 0;
  int trees = 0;
  /// Fruit of the random sample whose shape (or, without shape, presence) stands for the block.
  int phase_one_fruit = 0;
  int phase_one_trees = 0;
  /// Readings used.
  int oven_fruit = 0;
  int oven_trees = 0;
  int meter_fruit = 0;
  int meter_only_fruit = 0;
  /// Fruit with dry matter left out because shape is used and they have none.
  int left_out_without_photo = 0;
};

/// Change of dry matter with one descriptor, other descriptors held.
struct SlopeEstimate {
  std::string name;
  /// % per standard deviation of the descriptor in this block.
  MeanSd per_sd;
  /// % per raw unit of the descriptor.
  MeanSd per_unit;
};

/// True dry matter of one fruit, % of fresh weight. Empty where it cannot be told.
struct FruitEstimate {
  std::optional<double> mean_dm_pct;
  std::optional<double> sd_pct;
  std::optional<Interval> interval;
  /// True when neither a reading nor the shape says more than the block does.
  bool about_block_average = false;
};

/// What is known of a block's dry matter against a rule. Empty = cannot be told; see flags.
struct BlockEstimate {
  BlockRule rule;
  /// Mean dry matter of the block's fruit, % of fresh weight.
  std::optional<double> mean_dm_pct;
  std::optional<double> mean_dm_sd;
  std::optional<Interval> mean_dm_interval;
  std::optional<Interval> mean_dm_interval_80;
  /// Share of fruit at or above the minimum, 0..1 (posterior median).
  std::optional<double> share_mature;
  std::optional<Interval> share_interval;
  std::optional<Interval> share_interval_80;
  /// 0..100: so many in 100 chances that the rule is met.
  std::optional<double> readiness;
  Decision decision = Decision::sample_more;
  std::vector<BlockReason> reasons;
  std::vector<BlockFlag> flags;

  /// Dry matter that exactly the required share of the fruit reaches, %: the rule `share` is met
  /// when psi >= minimum. Basis of forecast and of planning.
  std::optional<double> psi_mean;
  std::optional<double> psi_sd;
  /// Standard deviation of dry matter between fruit, % (posterior mean), and how well it is known.
  std::optional<double> spread_sd;
  std::optional<double> spread_sd_se;
  /// Posterior means of the variance parts, squared %: between trees, within trees, by shape.
  std::optional<double> tree_variance;
  std::optional<double> fruit_variance;
  std::optional<double> shape_variance;
  /// Share of the variance of dry matter that shape explains (posterior mean).
  std::optional<double> shape_r_squared;
  /// Probability that shape says nothing about dry matter here; empty where that was not asked.
  std::optional<double> p_noshape;
  /// Meter minus truth, %; empty without meter readings.
  std::optional<MeanSd> meter_bias;
  /// The same of each of BlockData::further_meters.
  std::vector<MeanSd> further_meter_bias = {};
  /// Change of the reading per 1 % of true dry matter; empty where it is taken for exact.
  std::optional<MeanSd> meter_slope;
  std::vector<SlopeEstimate> slopes;
  /// A row per fruit of the input.
  std::vector<FruitEstimate> fruit;

  BlockCounts counts;
  /// P-values of the tests "were oven fruit picked?": by shape (chi-square), by meter (Welch).
  std::optional<double> p_selection_by_shape;
  std::optional<double> p_selection_by_meter;
  /// Skewness of the oven residuals; empty for fewer than 3 oven fruit or without spread.
  std::optional<double> residual_skewness;
  /// Slopes left almost free because oven fruit were, or look, picked on purpose.
  bool robust = false;
  std::string calibration_id;
  bool calibration_used = false;
  std::vector<std::string> dropped_descriptors;
};

/// Estimates a block's dry matter, the share of mature fruit and the chance that the rule is met:
/// a normal linear mixed model of each fruit's true dry matter (tree effect, shape slopes, oven and
/// meter as two channels with error, the meter's bias unknown), integrated over a fixed grid. No
/// random numbers: same input, same result.
///
/// Edge cases leave flags, and empty values where nothing can be told (see block_flags.h). Throws
/// std::invalid_argument, naming fruit (row from 1), value and rule, for: no fruit; a blank tree
/// label; lengths that differ; dry matter outside 3..40 % or infinite; infinite shape; rule values
/// outside their ranges; a calibration with other descriptor names or another version.
///
/// Formulas: linear mixed model algebra after Henderson (1984), "Applications of Linear Models in
/// Animal Breeding"; two-phase shape mean after Cochran (1977), "Sampling Techniques" (from
/// memory). Priors are planning guesses (grid and priors: variance_grid.h, slope_nodes.h).
BlockEstimate estimate_block(const BlockData& data, const BlockRule& rule,
                             const BlockOptions& options = {});

}  // namespace maturity
