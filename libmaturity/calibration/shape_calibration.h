#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "libmaturity/calibration/agreement.h"
#include "libmaturity/calibration/cross_validation.h"
#include "libmaturity/calibration/shape_validation.h"
#include "libmaturity/stats/reference_range.h"

namespace maturity {

/// Where a calibration comes from; the caller's own words, kept with it.
struct CalibrationSource {
  std::string cultivar;
  /// ISO 8601; first and last picking date of the fruit.
  std::string first_date;
  std::string last_date;
  std::string provenance;
};

enum class CalibrationOutcome {
  usable,
  /// Slopes from other blocks (or seasons) predict no better than chance, or less than 5 % of the
  /// variance.
  no_usable_information,
  /// A single block or season: nothing shows that slopes hold elsewhere.
  cannot_tell
};
std::string_view name(CalibrationOutcome outcome);
std::string_view sentence(CalibrationOutcome outcome);

/// What shape says about dry matter in one cultivar: slopes % per RAW unit of each descriptor.
struct ShapeCalibration {
  /// Of the file that it was read from, or will be written as (calibration_json.h).
  int format = 3;
  /// Hash of its content.
  std::string id;
  std::string library_version;
  int method_version = 0;
  CalibrationSource source;

  std::vector<std::string> names;
  Eigen::VectorXd slopes;
  /// What a new block's slopes may be off by: error of the average slopes plus their spread between
  /// blocks.
  Eigen::MatrixXd slopes_covariance;
  /// SD of each slope between blocks (a part of the above).
  Eigen::VectorXd between_block_sd;
  /// Mean and fruit covariance of the descriptors seen: the range of validity.
  Eigen::VectorXd shape_mean;
  Eigen::MatrixXd shape_covariance;
  /// The same of each block and visit: its baseline. Empty when read from a file of format 1.
  std::vector<ReferenceRange> block_baselines;

  int fruit = 0;
  int blocks = 0;
  int left_out = 0;
  /// Within-block SD of dry matter about the slopes, %.
  double residual_sd = 0.0;
  std::vector<std::string> not_selected;

  CalibrationOutcome outcome = CalibrationOutcome::cannot_tell;
  int folds = 0;
  std::optional<double> within_r_squared;
  std::optional<double> p_value;
  /// Blocks left out in turn: as predicted with the other blocks' intercept, and after the visit's
  /// mean is put right by its other fruit, as local oven fruit would. Reference = oven.
  std::optional<Agreement> new_block;
  std::optional<Agreement> after_local_mean;
  /// The same with blocks as the units drawn: what to expect of another block. Empty for fewer than
  /// 3 blocks, and when read from a file of format 1 or 2.
  std::optional<ClusteredAgreement> new_block_ranges;
  std::optional<ClusteredAgreement> after_local_mean_ranges;
  /// Seasons left out in turn. Empty with a single one.
  std::optional<ShapeValidation> by_season;
};

/// Regression of oven dry matter on descriptors within blocks, slopes random between blocks, judged
/// by leaving out whole blocks, and seasons where there are several: usable only where both hold.
/// Throws std::invalid_argument as gather_blocks does,
/// for a blank cultivar, or when every descriptor is constant within blocks.
ShapeCalibration calibrate_shape(const ShapeTraining& training, const CalibrationSource& source,
                                 const CrossValidationOptions& options = {});

/// Throws std::invalid_argument, naming what differs, unless the calibration fits this cultivar,
/// these descriptor names and this library's measuring method. `allow_other_cultivar` lets the
/// first pass, where the user asks for it.
void check_calibration_fits(const ShapeCalibration& calibration, std::string_view cultivar,
                            const std::vector<std::string>& names,
                            bool allow_other_cultivar = false);

}  // namespace maturity
