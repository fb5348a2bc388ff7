#include "libmaturity/calibration/shape_validation.h"

#include <algorithm>
#include <cstddef>
#include <string>
#include <vector>

namespace maturity {

namespace {

struct BlockMeans {
  Eigen::MatrixXd shape;
  Eigen::VectorXd oven;
};

BlockMeans means_of(const ShapeTraining& training, const TrainingBlocks& gathered) {
  const auto count = static_cast<Eigen::Index>(gathered.blocks.size());
  BlockMeans means{Eigen::MatrixXd::Zero(count, training.shape.cols()),
                   Eigen::VectorXd::Zero(count)};
  for (std::size_t i = 0; i < gathered.row.size(); ++i) {
    const std::size_t b = gathered.block_of_row[i];
    const auto row = static_cast<Eigen::Index>(b);
    means.shape.row(row) += training.shape.row(gathered.row[i]) / gathered.blocks[b].fruit;
    means.oven[row] +=
        training.oven[static_cast<std::size_t>(gathered.row[i])] / gathered.blocks[b].fruit;
  }
  return means;
}

/// Mean over the blocks of the other folds, block by block.
double other_intercept(const TrainingBlocks& gathered, const BlockMeans& means,
                       const Eigen::VectorXd& raw_slopes, std::size_t left_out) {
  double sum = 0.0;
  int count = 0;
  for (std::size_t b = 0; b < gathered.blocks.size(); ++b) {
    if (gathered.blocks[b].fold != gathered.blocks[left_out].fold) {
      const auto row = static_cast<Eigen::Index>(b);
      sum += means.oven[row] - means.shape.row(row).dot(raw_slopes);
      ++count;
    }
  }
  return sum / count;
}

bool varies(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return values.size() > 2 && *high > *low;
}

std::optional<Agreement> agreement_if_any(const std::vector<double>& reference,
                                          const std::vector<double>& predicted) {
  return varies(reference) && varies(predicted) ? std::optional(agreement(reference, predicted))
                                                : std::nullopt;
}

/// Oven values with what the other folds predict of them, and the labels that they are judged by.
struct LeftOutPairs {
  std::vector<double> reference;
  std::vector<double> predicted;
  std::vector<double> local;
  std::vector<std::string> fold;
  std::vector<std::string> visit;
};

LeftOutPairs predict(const ShapeTraining& training, const TrainingBlocks& gathered,
                     const CrossValidation& validation) {
  const BlockMeans means = means_of(training, gathered);
  LeftOutPairs pairs;
  for (std::size_t i = 0; i < gathered.row.size(); ++i) {
    const std::size_t b = gathered.block_of_row[i];
    const auto row = static_cast<Eigen::Index>(b);
    const Eigen::VectorXd slopes = validation.slopes_without_block[b].cwiseQuotient(gathered.scale);
    const Eigen::RowVectorXd shape = training.shape.row(gathered.row[i]);
    pairs.reference.push_back(training.oven[static_cast<std::size_t>(gathered.row[i])]);
    pairs.predicted.push_back(other_intercept(gathered, means, slopes, b) + shape.dot(slopes));
    // By the mean of the visit's other fruit: what is meant is a fruit that the oven did not see.
    const double n = gathered.blocks[b].fruit;
    const double own = means.oven[row] + (shape - means.shape.row(row)).dot(slopes);
    const double oven = pairs.reference.back();
    pairs.local.push_back(oven - (oven - own) * n / (n - 1.0));
    pairs.fold.push_back(gathered.blocks[b].fold);
    pairs.visit.push_back(gathered.blocks[b].block);
  }
  return pairs;
}

std::optional<ClusteredAgreement> ranges_if_any(const LeftOutPairs& pairs,
                                                const std::vector<double>& predicted) {
  return varies(pairs.reference) && varies(predicted)
             ? clustered_agreement(pairs.reference, predicted, pairs.fold, pairs.visit,
                                   PredictedBy::left_out_blocks)
             : std::nullopt;
}

}  // namespace

std::optional<ShapeValidation> validate_shape(const ShapeTraining& training,
                                              const TrainingBlocks& gathered,
                                              const CrossValidationOptions& options) {
  const auto validation = cross_validate(training, gathered, options);
  if (!validation) {
    return std::nullopt;
  }
  const LeftOutPairs pairs = predict(training, gathered, *validation);
  return ShapeValidation{validation->folds,
                         validation->within_r_squared,
                         validation->p_value,
                         agreement_if_any(pairs.reference, pairs.predicted),
                         agreement_if_any(pairs.reference, pairs.local),
                         ranges_if_any(pairs, pairs.predicted),
                         ranges_if_any(pairs, pairs.local)};
}

std::optional<ShapeValidation> validate_by_season(const ShapeTraining& training,
                                                  const CrossValidationOptions& options) {
  if (training.season.empty()) {
    return std::nullopt;
  }
  ShapeTraining by_season = training;
  by_season.fold = training.season;
  return validate_shape(by_season, gather_blocks(by_season), options);
}

}  // namespace maturity
