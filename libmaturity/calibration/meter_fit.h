#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/calibration/agreement.h"
#include "libmaturity/calibration/clustered_agreement.h"

namespace maturity {

/// Oven and meter dry matter of the same fruit, one instrument and setting, % of fresh weight.
/// Missing numbers are NaN.
struct MeterPairs {
  /// Block and visit of each fruit: the bias may shift freely between these.
  std::vector<std::string> block;
  std::vector<double> oven;
  std::vector<double> meter;
  /// What is left out together in cross-validation, and may err alike (n): the block without its
  /// visits; empty: `block`.
  std::vector<std::string> fold = {};
  /// Season of each fruit (n); empty: one season.
  std::vector<std::string> season = {};
};

/// Bias of the meter in one block.
struct BlockBias {
  std::string block;
  int pairs = 0;
  double bias = 0.0;
  /// From the SD of the errors pooled over blocks.
  double standard_error = 0.0;
};

/// Change of the reading when oven dry matter changes by 1 %, within blocks. The oven's own repeat
/// error is not taken out: 0.15 % among fruit that differ by 1.3 % lowers a slope by 0.01.
struct MeterSlope {
  /// Blocks that it rests on, and their mean slope with its standard error.
  int blocks = 0;
  double mean = 0.0;
  double standard_error = 0.0;
  /// SD between blocks: as estimated by moments (DerSimonian and Laird 1986, from memory), and as
  /// used, drawn towards that of real meters (0.13) as slope_spread.h says.
  double estimated_between_block_sd = 0.0;
  double between_block_sd = 0.0;
  /// What the slope of a new block may be off by (SD): both together.
  double new_block_sd = 0.0;
};

/// Readings of left-out blocks (or seasons) with the others' bias and slope taken out, against
/// oven.
struct LeftOutReadings {
  int folds = 0;
  Agreement agreement;
  /// Empty: too few blocks (or seasons).
  std::optional<ClusteredAgreement> ranges;
};

struct MeterFit {
  /// All pairs together, the oven as reference; pairs taken as independent.
  Agreement overall;
  /// The same with folds (blocks with their visits) as the units drawn: for another block. Empty
  /// for fewer than 3.
  std::optional<ClusteredAgreement> by_block;
  /// With seasons as the units drawn: for another season. Empty for fewer than 3.
  std::optional<ClusteredAgreement> by_season;
  std::vector<BlockBias> blocks;
  /// Empty where the oven values do not differ within blocks.
  std::optional<MeterSlope> slope;
  /// Error of the meter that is left once each block's own bias and the common slope are taken out,
  /// %, and the fruit it rests on (degrees of freedom + 1): what the block estimate takes as its
  /// meter error. Empty for fewer than 5 degrees of freedom.
  std::optional<double> within_block_sep;
  int within_block_fruit = 0;
  /// How much the bias itself differs between blocks (SD, %): an earlier block's bias says no more
  /// about the next than this. Empty for a single block.
  std::optional<double> bias_sd_between_blocks;
  /// Cross-validation: a fold, or a season, left out at a time. Empty with a single one.
  std::optional<LeftOutReadings> corrected_by_fold;
  std::optional<LeftOutReadings> corrected_by_season;
};

/// Throws std::invalid_argument as `agreement` does, and for lengths that differ or a blank block.
MeterFit fit_meter(const MeterPairs& pairs);

}  // namespace maturity
