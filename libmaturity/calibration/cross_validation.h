#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "libmaturity/calibration/block_slopes.h"
#include "libmaturity/calibration/select_descriptors.h"

namespace maturity {

struct CrossValidationOptions {
  SelectionRule selection;
  /// Keep these columns instead of selecting; empty: select.
  std::vector<Eigen::Index> columns;
  /// Shuffles of dry matter within blocks behind the P-value, and their seed.
  int permutations = 199;
  std::uint64_t seed = 1;
};

/// Slopes judged on blocks (or seasons) that they were not fitted to.
struct CrossValidation {
  int folds = 0;
  /// Share of the within-block variance of dry matter that slopes from other folds predict:
  /// 1 - sum (y - Xb)^2 / sum y^2, all about block means. Negative where they do harm.
  double within_r_squared = 0.0;
  /// Chance of as much or more when dry matter is shuffled within blocks (selection and ridge
  /// repeated each time).
  double p_value = 1.0;
  /// Slopes fitted without each block (p of the full training, 0 where not selected), in block
  /// order, for predictions.
  std::vector<Eigen::VectorXd> slopes_without_block;
};

/// The a-priori shape share whose slopes predict left-out blocks best within `blocks`; 0.3 with
/// fewer than 3 blocks, where that cannot be tried.
double choose_shape_share(const std::vector<const BlockMoments*>& blocks,
                          const std::vector<Eigen::Index>& columns);

/// Leaves out one fold (block or season) at a time: selection and ridge are made anew on the others
/// (nested), never on single fruit. Empty with a single fold: blocks cannot be told from fruit.
std::optional<CrossValidation> cross_validate(const ShapeTraining& training,
                                              const TrainingBlocks& gathered,
                                              const CrossValidationOptions& options = {});

}  // namespace maturity
