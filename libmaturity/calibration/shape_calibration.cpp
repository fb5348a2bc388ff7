#include "libmaturity/calibration/shape_calibration.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "libmaturity/calibration/calibration_json.h"
#include "libmaturity/core/version.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kLeastShare = 0.05;
constexpr double kLargestP = 0.05;

std::vector<const BlockMoments*> pointers(const std::vector<BlockMoments>& blocks) {
  std::vector<const BlockMoments*> all;
  all.reserve(blocks.size());
  for (const BlockMoments& block : blocks) {
    all.push_back(&block);
  }
  return all;
}

bool predicts(const ShapeValidation& validation) {
  return validation.within_r_squared >= kLeastShare && validation.p_value <= kLargestP;
}

void describe_range(ShapeCalibration& result, const ShapeTraining& training,
                    const TrainingBlocks& gathered, const std::vector<Eigen::Index>& columns) {
  const ReferenceRange all = range_of("", training.shape(gathered.row, columns));
  result.shape_mean = all.mean;
  result.shape_covariance = all.covariance;
  std::vector<std::vector<Eigen::Index>> rows(gathered.blocks.size());
  for (std::size_t i = 0; i < gathered.row.size(); ++i) {
    rows[gathered.block_of_row[i]].push_back(gathered.row[i]);
  }
  for (std::size_t b = 0; b < rows.size(); ++b) {
    result.block_baselines.push_back(
        range_of(gathered.blocks[b].block, training.shape(rows[b], columns)));
  }
}

// Visits to one block share its slopes: taken as one part, each about its own mean, or the slopes
// of a new block would seem surer with every visit. With all in one fold the visits are all there
// is.
std::vector<BlockMoments> by_fold(const std::vector<BlockMoments>& blocks) {
  std::vector<BlockMoments> folds;
  for (const BlockMoments& block : blocks) {
    const auto same = std::find_if(folds.begin(), folds.end(),
                                   [&](const BlockMoments& one) { return one.fold == block.fold; });
    if (same == folds.end()) {
      folds.push_back(block);
      continue;
    }
    same->xx += block.xx;
    same->xy += block.xy;
    same->yy += block.yy;
    same->fruit += block.fruit - 1;  // each visit takes a mean of its own
  }
  return folds.size() > 1 ? folds : blocks;
}

}  // namespace

std::string_view name(CalibrationOutcome outcome) {
  switch (outcome) {
    case CalibrationOutcome::usable:
      return "usable";
    case CalibrationOutcome::no_usable_information:
      return "no_usable_information";
    case CalibrationOutcome::cannot_tell:
      return "cannot_tell";
  }
  return "";
}

std::string_view sentence(CalibrationOutcome outcome) {
  switch (outcome) {
    case CalibrationOutcome::usable:
      return "shape predicts dry matter in blocks that were left out";
    case CalibrationOutcome::no_usable_information:
      return "shape adds no usable information: it predicts left-out blocks (or seasons) no better "
             "than chance, or too little to matter";
    case CalibrationOutcome::cannot_tell:
      return "fruit of a single block or season: it cannot be told whether the slopes hold "
             "elsewhere; sample another block";
  }
  return "";
}

ShapeCalibration calibrate_shape(const ShapeTraining& training, const CalibrationSource& source,
                                 const CrossValidationOptions& options) {
  if (source.cultivar.empty()) {
    reject_argument("cultivar", "blank", "the cultivar that the fruit are of");
  }
  const TrainingBlocks gathered = gather_blocks(training);
  const auto blocks = pointers(gathered.blocks);
  const std::vector<Eigen::Index> columns =
      options.columns.empty() ? select_descriptors(blocks, gathered.constant, options.selection)
                              : options.columns;
  if (columns.empty()) {
    reject_argument("shape", "every descriptor constant within blocks", "one that varies");
  }
  const std::vector<BlockMoments> parts = by_fold(gathered.blocks);
  const BlockSlopes fit =
      fit_block_slopes(pointers(parts), columns, choose_shape_share(blocks, columns));
  ShapeCalibration result;
  result.library_version = version();
  result.method_version = method_version();
  result.source = source;
  const Eigen::VectorXd per_unit = gathered.scale(columns).cwiseInverse();
  result.slopes = fit.slopes.cwiseProduct(per_unit);
  const auto p = static_cast<Eigen::Index>(columns.size());
  const Eigen::MatrixXd scaled = fit.covariance + fit.spread * Eigen::MatrixXd::Identity(p, p);
  result.slopes_covariance = per_unit.asDiagonal() * scaled * per_unit.asDiagonal();
  result.between_block_sd = std::sqrt(fit.spread) * per_unit;
  result.residual_sd = std::sqrt(fit.residual_variance);
  result.fruit = static_cast<int>(gathered.row.size());
  result.blocks = static_cast<int>(gathered.blocks.size());
  result.left_out = gathered.left_out;
  for (Eigen::Index j = 0; j < training.shape.cols(); ++j) {
    const bool kept = std::find(columns.begin(), columns.end(), j) != columns.end();
    (kept ? result.names : result.not_selected)
        .push_back(training.names[static_cast<std::size_t>(j)]);
  }
  describe_range(result, training, gathered, columns);
  if (const auto validation = validate_shape(training, gathered, options)) {
    result.folds = validation->folds;
    result.within_r_squared = validation->within_r_squared;
    result.p_value = validation->p_value;
    result.new_block = validation->new_block;
    result.new_block_ranges = validation->new_block_ranges;
    result.after_local_mean = validation->after_local_mean;
    result.after_local_mean_ranges = validation->after_local_mean_ranges;
    result.by_season = validate_by_season(training, options);
    const bool usable = predicts(*validation) && (!result.by_season || predicts(*result.by_season));
    result.outcome =
        usable ? CalibrationOutcome::usable : CalibrationOutcome::no_usable_information;
  }
  result.id = calibration_hash(result);
  return result;
}

void check_calibration_fits(const ShapeCalibration& calibration, std::string_view cultivar,
                            const std::vector<std::string>& names, bool allow_other_cultivar) {
  if (calibration.source.cultivar != cultivar && !allow_other_cultivar) {
    reject_argument("cultivar", cultivar,
                    "that of the calibration, " + calibration.source.cultivar);
  }
  if (calibration.method_version != method_version()) {
    reject_argument("calibration method_version", calibration.method_version,
                    "this library's, " + std::to_string(method_version()));
  }
  if (calibration.names != names) {
    std::string wanted;
    for (const std::string& each : calibration.names) {
      wanted += wanted.empty() ? each : ", " + each;
    }
    std::string given;
    for (const std::string& each : names) {
      given += given.empty() ? each : ", " + each;
    }
    reject_argument("descriptor names", given.empty() ? "none" : given, wanted);
  }
}

}  // namespace maturity
