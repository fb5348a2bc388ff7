#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/calibration/agreement.h"

namespace maturity {

/// Oven and meter dry matter of the same fruit, one instrument and setting, % of fresh weight.
/// Missing numbers are NaN.
struct MeterPairs {
  std::vector<std::string> block;
  std::vector<double> oven;
  std::vector<double> meter;
};

/// Bias of the meter in one block.
struct BlockBias {
  std::string block;
  int pairs = 0;
  double bias = 0.0;
  /// From the SEP pooled over blocks.
  double standard_error = 0.0;
};

struct MeterFit {
  /// All pairs together, the oven as reference.
  Agreement overall;
  std::vector<BlockBias> blocks;
  /// Error of the meter once each block's own bias is taken out, %, and the fruit it rests on
  /// (degrees of freedom + 1): what the block estimate takes as its meter error. Empty for fewer
  /// than 5 degrees of freedom.
  std::optional<double> within_block_sep;
  int within_block_fruit = 0;
  /// How much the bias itself differs between blocks (SD, %): an earlier block's bias says no more
  /// about the next than this. Empty for a single block.
  std::optional<double> bias_sd_between_blocks;
};

/// Throws std::invalid_argument as `agreement` does, and for lengths that differ or a blank block.
MeterFit fit_meter(const MeterPairs& pairs);

}  // namespace maturity
