#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <vector>

namespace maturity {

/// Readings of one more instrument, or of another setting of the first: it has its own bias.
struct FurtherMeter {
  /// Dry matter of each fruit (n); NaN = not read.
  std::vector<double> dm_pct;
  /// As BlockOptions::meter_sep_pct and meter_sep_n.
  std::optional<double> sep_pct;
  std::optional<int> sep_n;
};

/// The sampled fruit of one block at one visit, a row per fruit (n rows). Missing numbers are NaN.
/// Dry matter is per cent of fresh weight.
struct BlockData {
  /// Tree of each fruit (n).
  std::vector<std::string> tree;
  /// Shape descriptors (n,p), any unit; a row that is not wholly finite = no usable photo.
  /// Zero columns (or an empty matrix) = no shape at all.
  Eigen::MatrixXd shape;
  /// Oven dry matter of each fruit (n), or empty. Duplicates: enter their mean.
  std::vector<double> oven;
  /// Meter dry matter of each fruit (n), or empty. One instrument and setting.
  std::vector<double> meter;
  /// False for fruit added on purpose, outside the random sample (n), or empty = all are in it.
  /// The dry matter of such fruit is used, their shape is left out of the block's mean shape.
  std::vector<bool> included;
  /// Other instruments and settings of the visit, at most 3.
  std::vector<FurtherMeter> further_meters = {};

  /// Any meter read fruit i.
  bool metered(std::size_t i) const;
};

enum class RuleKind {
  /// At least `required_share` of the fruit at or above the minimum.
  share,
  /// The block's mean at or above the minimum.
  mean
};

/// The user's policy. None is built in: minimum_dm_pct must be given.
struct BlockRule {
  /// 3..40 % of fresh weight.
  double minimum_dm_pct = 0.0;
  /// Within (0.5, 0.999).
  double required_share = 0.9;
  RuleKind kind = RuleKind::share;
  /// Probability asked for before the block is called ready; within (0.5, 0.999).
  double confidence = 0.9;
};

/// What earlier blocks of the cultivar say about dry matter against shape: slopes per raw unit of
/// each descriptor, and the range of shapes they were learnt on.
struct CalibrationSlopes {
  std::string id;
  /// Descriptor names in the order of the columns of `BlockData::shape`.
  std::vector<std::string> names;
  /// method_version() of the library that measured the shapes.
  int version = 0;
  /// Slopes (p), % per raw unit.
  Eigen::VectorXd slopes;
  /// Their covariance (p,p), the spread of slopes between blocks included.
  Eigen::MatrixXd slopes_covariance;
  /// Mean (p) and between-fruit covariance (p,p) of the descriptors that the calibration saw.
  /// Empty: range not known, not checked.
  Eigen::VectorXd shape_mean;
  Eigen::MatrixXd shape_covariance;
};

enum class UseShape {
  /// Shape is left out while fewer than 15 fruit have dry matter (it would only widen), unless
  /// fruit were picked on purpose or a calibration is given.
  automatic,
  on,
  off
};

struct BlockOptions {
  UseShape use_shape = UseShape::automatic;
  /// Names of the columns of `BlockData::shape` (p); needed with a calibration.
  std::vector<std::string> descriptor_names;
  std::optional<CalibrationSlopes> calibration;
  /// The oven fruit were chosen by a person, not drawn at random.
  bool picked_on_purpose = false;
  /// They were chosen by outline alone (as seen in the photos), which shape can put right.
  bool picked_by_shape_only = false;
  /// The user's own standard error of the meter after removing its bias, %, and the number of
  /// fruit it rests on. Without: 1.0 % with 20 % uncertainty, a planning guess.
  std::optional<double> meter_sep_pct;
  std::optional<int> meter_sep_n;
  /// What a reading changes by when true dry matter changes by 1 %: prior mean, and SD. SD 0 takes
  /// the mean for exact. Real meters read a narrower range than the oven (see kMeterSlopeGuess):
  /// taken for exact, the block looks more even, and so more ready, than it is.
  double meter_slope = 1.0;
  double meter_slope_sd = 0.0;
  /// Repeat error of one oven value, % (never taken below 0.01).
  double oven_sd_pct = 0.15;
  /// Grid nodes lighter than this share of the heaviest are dropped (changes readiness by less than
  /// 0.0001). 0 keeps every node.
  double drop_nodes_below = 1e-7;
};

}  // namespace maturity
