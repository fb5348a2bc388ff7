#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_data.h"
#include "libmaturity/readiness/block_flags.h"
#include "libmaturity/readiness/phase_one.h"
#include "libmaturity/readiness/slope_nodes.h"

namespace maturity {

/// Which fruit and which columns the model is fitted to, and why.
struct BlockDesign {
  /// Rows of the input that the model uses.
  std::vector<int> rows;
  /// Tree code of every input row, and how many trees the used rows have.
  std::vector<int> tree;
  int trees = 0;
  /// Shape of every input row, standardised; the last column is "has oven" when added.
  PhaseOne phase_one;
  /// Columns of the input behind the columns of phase_one.x ("has oven" not counted).
  std::vector<int> descriptors;
  std::vector<int> dropped;
  bool has_oven_column = false;
  bool robust = false;
  bool selection_not_corrected = false;
  bool outside_calibration = false;
  std::optional<ExpectedSlopes> expected;
  std::optional<double> p_by_shape;
  std::optional<double> p_by_meter;
  int left_out_without_photo = 0;
  std::vector<BlockFlag> flags;
};

/// Decides it from checked input with at least one reading (see check_block_input).
BlockDesign design_block(const BlockData& data, const BlockOptions& options);

}  // namespace maturity
