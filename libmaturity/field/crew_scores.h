#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "libmaturity/field/crew_check.h"

namespace maturity {

/// Bins with their crews and strata (block and method) by number.
struct NumberedBins {
  std::vector<std::string> crews;
  std::vector<std::size_t> crew;
  std::vector<std::size_t> stratum;
  std::vector<std::vector<std::size_t>> bins_of_stratum;
  std::vector<double> checked;
  std::vector<double> found;
};
NumberedBins number_bins(const std::vector<BinCheck>& checks);

/// Findings of each crew against what its strata as a whole would give.
struct CrewScores {
  std::vector<double> found;
  std::vector<double> expected;
  /// Of found, fruit drawn without replacement from the stratum.
  std::vector<double> variance;
  /// Fruit of other crews in the same strata.
  std::vector<double> others;
};
CrewScores score_crews(const NumberedBins& data, const std::vector<std::size_t>& crew);

/// Variance of bins within crew and stratum over that of independent fruit; 1 with 0 degrees.
struct BinDispersion {
  double ratio = 1.0;
  int degrees = 0;
};
BinDispersion bin_dispersion(const NumberedBins& data);

/// P-value of each crew, all crews allowed for: how often the largest score of any crew, whole bins
/// shuffled among crews within strata, is as large as this crew's.
std::vector<double> shuffled_p_values(const NumberedBins& data, const CrewScores& observed,
                                      int shuffles, std::uint64_t seed);

/// The same for independent fruit by the normal approximation with continuity correction,
/// multiplied by the number of crews.
std::vector<double> normal_p_values(const CrewScores& observed);

}  // namespace maturity
