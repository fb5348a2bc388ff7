#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// Fewest blocks (or seasons) from which ranges for others can be told at all.
inline constexpr int kFewestClusters = 3;

/// How predictions agree with reference values where fruit come in blocks whose errors differ:
/// what to expect of a fruit of another block. Error = predicted - reference, in the values' unit;
/// every block counts once, and ranges are 95 % with the blocks as the units drawn.
struct ClusteredAgreement {
  int clusters = 0;
  /// Mean of the blocks' mean errors; t with clusters - 1 degrees.
  double bias = 0.0;
  Bounds bias_interval;
  /// The interval leaves out 0.
  bool bias_significant = false;
  /// Standard deviation of the error of a fruit of any block about the bias: variance between
  /// blocks, between visits of a block and between fruit of a visit added up, estimated from
  /// unweighted means (Thomas and Hultquist 1978). Interval by the modified large-sample rule for a
  /// sum of variances (Graybill and Wang 1980, J. Am. Stat. Assoc. 75:869-873). Both from memory.
  double sep = 0.0;
  Bounds sep_interval;
  /// Root mean squared error, bias included; interval joined from those of bias and SEP (Zou and
  /// Donner 2008, as for Agreement).
  double rmsep = 0.0;
  Bounds rmsep_interval;
  /// Reference regressed on predicted, all fruit; interval by leaving out a block at a time
  /// (jackknife, t with clusters - 1 degrees). Empty where a slope without some block is not
  /// defined.
  double slope = 0.0;
  std::optional<Bounds> slope_interval;
  /// The interval leaves out 1.
  bool slope_significant = false;
  /// Squared correlation; interval by the same jackknife of Fisher's z.
  double r_squared = 0.0;
  std::optional<Bounds> r_squared_interval;
  /// SD of the reference (as it is) over SEP.
  double rpd_sep = 0.0;
  Bounds rpd_sep_interval;
};

/// Where predictions come from.
enum class PredictedBy {
  /// Something that owes nothing to these blocks, for instance a meter.
  others,
  /// The other blocks of the same set, each left out in turn: their mean errors sum to about 0, so
  /// that k blocks about their mean overstate the variance between them by k/(k-1).
  left_out_blocks
};

/// A label per pair: the block (or season) whose fruit may err alike, and optionally the visit
/// within it. Pairs with a NaN are left out. Empty below kFewestClusters blocks: how blocks differ
/// cannot be told. Throws std::invalid_argument as `agreement` does, and for lengths that differ.
std::optional<ClusteredAgreement> clustered_agreement(const std::vector<double>& reference,
                                                      const std::vector<double>& predicted,
                                                      const std::vector<std::string>& cluster,
                                                      const std::vector<std::string>& visit = {},
                                                      PredictedBy by = PredictedBy::others);

}  // namespace maturity
