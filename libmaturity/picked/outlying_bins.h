#pragma once

#include <optional>
#include <vector>

#include "libmaturity/picked/crew_check.h"

namespace maturity {

/// One bin, and whether more was found in it than in the others of its block, method and day.
struct BinOutcome {
  double share = 0.0;
  /// Clopper and Pearson: fruit drawn at random from this one bin.
  Bounds interval;
  /// Share of those other bins; empty with the next two where there are none.
  std::optional<double> others_share;
  /// Chance that some bin of all of them had as many, were the fruit of a block, method and day
  /// alike in all its bins: hypergeometric tail (Fisher's exact test, one-sided) times the bins.
  std::optional<double> p_value;
  /// More than chance. It is the bin that stands out: a tree, a picker or a crew may be behind it.
  std::optional<bool> stands_out;
};

/// In the order of `checks`. Only more counts; false means no more than chance. Throws
/// std::invalid_argument as compare_crews does; level and false_alarm within (0,1).
std::vector<BinOutcome> outlying_bins(const std::vector<BinCheck>& checks, double level = 0.95,
                                      double false_alarm = 0.05);

}  // namespace maturity
