#pragma once

#include <optional>

#include "libmaturity/calibration/agreement.h"
#include "libmaturity/calibration/clustered_agreement.h"
#include "libmaturity/calibration/cross_validation.h"

namespace maturity {

/// Shape judged on blocks (or seasons) left out in turn. Reference = oven.
struct ShapeValidation {
  int folds = 0;
  double within_r_squared = 0.0;
  double p_value = 1.0;
  /// As predicted with the other folds' intercept, and after the visit's mean is put right by its
  /// other fruit, as local oven fruit would.
  std::optional<Agreement> new_block;
  std::optional<Agreement> after_local_mean;
  /// The same with folds as the units drawn; empty for fewer than 3 of them.
  std::optional<ClusteredAgreement> new_block_ranges;
  std::optional<ClusteredAgreement> after_local_mean_ranges;
};

/// By ShapeTraining::fold. Empty with a single fold.
std::optional<ShapeValidation> validate_shape(const ShapeTraining& training,
                                              const TrainingBlocks& gathered,
                                              const CrossValidationOptions& options);

/// By ShapeTraining::season. Empty without seasons, or with a single one.
std::optional<ShapeValidation> validate_by_season(const ShapeTraining& training,
                                                  const CrossValidationOptions& options);

}  // namespace maturity
