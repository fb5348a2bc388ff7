#pragma once

#include <cstdint>
#include <vector>

#include "libmaturity/picked/crew_scores.h"

namespace maturity {

/// How drawn bins are judged.
struct DrawnBins {
  /// Correlation of fruit of one bin in the draws, 0..1.
  double intraclass = 0.0;
  /// True: the spread of bins is estimated anew in each draw, as it was in the data.
  bool estimate_spread = true;
  int draws = 999;
  std::uint64_t seed = 1;
};

/// P-value of each crew, all crews allowed for: how often the largest score of any crew is as large
/// in bins drawn at the share of their stratum (beta-binomial, by the urn of Polya), no crew being
/// different. For rare findings, whose counts are too skewed for Student's t.
std::vector<double> drawn_p_values(const NumberedBins& data, const DrawnBins& how);

}  // namespace maturity
