#pragma once

#include <optional>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/grid_posterior.h"

namespace maturity {

/// A block fitted to its model: the mixture, its moments, and every model row's true dry matter.
struct FittedBlock {
  std::vector<GridNode> nodes;
  /// (level less kLevelGuess, slopes, meter biases) and their SD; a bias is in units of the
  /// reading, at the mean of the oven readings (without: of the meter readings).
  Eigen::VectorXd phi;
  Eigen::VectorXd phi_sd;
  std::vector<MeanSd> fruit;
  /// Of the meter's slope; empty without meter readings or where it is taken for exact.
  std::optional<MeanSd> meter_slope;
};

/// Mean and SD of the slope of meters on populations that they were not made on: a planning guess
/// between no fault (1) and what 132 real groups of population and instrument showed (0.79, SD 0.13
/// after sampling error; 12,539 pairs, open data of Anderson, Walsh et al., Mendeley Data
/// 10.17632/46htwnp833). One instrument's slope differs between populations as much as that, so
/// earlier blocks do not tell it.
inline constexpr double kMeterSlopeGuess = 0.85;
inline constexpr double kMeterSlopeGuessSd = 0.12;

/// Error of a meter once bias and slope are out, %, where no check of it is given, and the number
/// of fruit that it counts for: a planning guess between published checks in new seasons (0.77
/// to 1.17, see kMeterSdGuess) and the same real groups (0.67, SD 0.21), wide enough for both (95
/// %: 0.4 to 1.6). Taken for 1.0 give or take 20 %, as the plain model has it, the error of a good
/// meter eats the spread between fruit: a block looks more even, and more ready, than it is.
inline constexpr double kMeterSepGuess = 0.8;
inline constexpr int kMeterSepGuessFruit = 5;

/// One node of the prior of the meter's slope; weights sum to 1.
struct MeterSlopeNode {
  double slope = 1.0;
  double weight = 1.0;
};

/// Gauss-Hermite rule of three nodes for N(mean, sd^2): mean and mean +/- sqrt(3) sd with weights
/// 2/3 and 1/6 (textbook rule, exact to the fifth moment); one node for sd 0.
std::vector<MeterSlopeNode> meter_slope_nodes(double mean, double sd);

/// The model at one slope of the meter: what a meter of slope 1 would have read, and its posterior.
struct SlopeFit {
  double slope = 1.0;
  /// Weights of all fits sum to 1.
  double weight = 1.0;
  GridModel model;
  GridPosterior posterior;
};

/// Fits the model at each slope, weighed by prior and evidence; one fit without meter readings.
std::vector<SlopeFit> fit_at_slopes(const GridModel& model,
                                    const std::vector<MeterSlopeNode>& slopes);

/// Fits the model at each slope, which all meters share, and joins the fits by their evidence. A
/// meter of slope g reads centre + g (y - centre) + bias + error, so that (reading - centre)/g +
/// centre is what a meter of slope 1 reads, with bias and error divided by g, and a density divided
/// by g for each reading.
FittedBlock fit_block(const GridModel& model, const std::vector<MeterSlopeNode>& slopes);

}  // namespace maturity
