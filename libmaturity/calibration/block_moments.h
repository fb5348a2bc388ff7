#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

namespace maturity {

/// Fruit with both outline and oven, over several blocks. A row per fruit; NaN = missing.
struct ShapeTraining {
  /// Descriptor names, one per column of `shape`.
  std::vector<std::string> names;
  /// Block and visit of each fruit: dry matter may shift freely between these.
  std::vector<std::string> block;
  /// What is left out together in cross-validation (n), for instance all visits to a block; empty:
  /// the block.
  std::vector<std::string> fold;
  Eigen::MatrixXd shape;
  /// Oven dry matter, % of fresh weight.
  std::vector<double> oven;
  /// Season of each fruit (n), for cross-validation by season; empty: a single one.
  std::vector<std::string> season = {};
};

/// Sums of one block about its own means: all that slopes are fitted from. Descriptors are in units
/// of their scale (see below).
struct BlockMoments {
  std::string block;
  std::string fold;
  int fruit = 0;
  /// X'X and X'y of the centred descriptors and dry matter; y'y.
  Eigen::MatrixXd xx;
  Eigen::VectorXd xy;
  double yy = 0.0;
};

/// The rows that can be used, by block.
struct TrainingBlocks {
  std::vector<BlockMoments> blocks;
  /// Within-block standard deviation of each descriptor: the unit of the moments. 1 where it is 0.
  Eigen::VectorXd scale;
  /// True where a descriptor does not vary within blocks.
  std::vector<bool> constant;
  /// Usable rows of the input, each with the index of its block.
  std::vector<Eigen::Index> row;
  std::vector<std::size_t> block_of_row;
  int left_out = 0;
};

/// Checks and sums up. Rows with a missing descriptor or dry matter, and fruit alone in their
/// block, are left out and counted. Throws std::invalid_argument for lengths that differ, blank
/// labels, dry matter outside 3..40 %, infinite shape, or nothing left.
TrainingBlocks gather_blocks(const ShapeTraining& training);

}  // namespace maturity
