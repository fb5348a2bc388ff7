#pragma once

#include <optional>
#include <vector>

#include "libmaturity/readiness/block_data.h"
#include "libmaturity/readiness/block_estimate.h"

namespace maturity {

/// A share 0..1 as posterior median with its 95 % interval.
struct ShareRange {
  double median = 0.0;
  Interval interval;
};

/// What comes of taking every fruit whose shape predicts at least `cut_dm_pct`.
struct ShapeCut {
  double cut_dm_pct = 0.0;
  /// Share of the crop whose shape predicts that much; shapes are taken as normally spread.
  double taken = 0.0;
  /// Its 95 % interval: shapes are known from the photographed fruit only, by trees.
  Interval taken_interval;
  /// Of those taken: share below the minimum.
  ShareRange immature_taken;
  /// The same share when the same number of fruit is taken blindly.
  ShareRange immature_blind;
};

/// How well the outline alone parts the fruit of a block by dry matter. Empty where shape is not
/// used in the block's estimate, or where the oven fruit were (or look) picked on purpose.
struct ShapeSorting {
  /// Dry matter that a fruit's shape alone predicts in this block, %; a row per fruit of the input.
  std::vector<std::optional<double>> shape_dm_pct;
  /// Correlation of that prediction with true dry matter between fruit.
  std::optional<double> correlation;
  std::optional<Interval> correlation_interval;
  /// Probability that the correlation is at least kUsefulCorrelation.
  std::optional<double> p_useful;
  std::vector<ShapeCut> cuts;
};

/// Least correlation worth teaching: in a normal block with one immature fruit in five, taking the
/// better-looking half at 0.3 still leaves about one in eight. A choice, no source.
inline constexpr double kUsefulCorrelation = 0.3;

/// Fits the block as estimate_block does and asks of the fit what sorting by shape would bring, at
/// each cut (% dry matter; may be empty). At each node of the grid the predicted and the true dry
/// matter of a random fruit are bivariate normal; level and slopes move by their posterior there.
/// The share below the minimum among those taken is that normal's (textbook; with both cuts at the
/// means it is Sheppard's 1/4 + asin(r)/(2 pi), from memory). A person sorts by eye less well than
/// the fit, so it is a best case. Throws std::invalid_argument as estimate_block does, and for a
/// cut that is not finite.
ShapeSorting sort_by_shape(const BlockData& data, const BlockRule& rule,
                           const BlockOptions& options, const std::vector<double>& cuts);

/// P(y < below | s > above) for standard normal s and y with correlation r within [-1, 1];
/// `above` within [-8, 8].
double share_below_among_taken(double below, double above, double r);

}  // namespace maturity
