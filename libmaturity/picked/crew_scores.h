#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "libmaturity/picked/crew_check.h"

namespace maturity {

/// Bins with their crews by number, and two ways to group them.
struct NumberedBins {
  /// In the order of their names.
  std::vector<std::string> crews;
  std::vector<std::size_t> crew;
  /// Block and method.
  std::vector<std::size_t> place;
  /// Block, method and day.
  std::vector<std::size_t> stratum;
  /// Bins of each block, method and day: the only ones compared with each other.
  std::vector<std::vector<std::size_t>> strata;
  /// Day of each of those.
  std::vector<std::string> dates;
  std::vector<double> checked;
  std::vector<double> found;
};
/// Throws std::invalid_argument as compare_crews does.
void check_bins(const std::vector<BinCheck>& checks);

NumberedBins number_bins(const std::vector<BinCheck>& checks);

/// Findings of each crew against what its strata as a whole would give.
struct CrewScores {
  std::vector<double> found;
  std::vector<double> expected;
  /// Of found - expected: fruit drawn without replacement from the stratum, those of one bin alike.
  std::vector<double> variance;
  /// Fruit of the crew in strata with other crews, and of those other crews.
  std::vector<double> own;
  std::vector<double> others;
  /// Findings of the crew in those strata alone.
  std::vector<double> found_beside;
  /// Findings among the crew's own fruit, had they been as those of the others beside them.
  std::vector<double> as_others;
};
/// `intraclass`: correlation of fruit of one bin, 0..1. A bin of m fruit then weighs as
/// m (1 + (m - 1) intraclass), so that crews with few large bins are not called different for it.
CrewScores score_crews(const NumberedBins& data, const std::vector<std::size_t>& crew,
                       double intraclass);

/// |found - expected| in standard deviations; 0 where nothing can vary.
double standardised(const CrewScores& scores, std::size_t crew);

/// Variance of bins within crew, block, method and day over that of independent fruit: days that
/// differ are not bins that vary. 1 with 0 degrees.
struct BinDispersion {
  double ratio = 1.0;
  int degrees = 0;
};
BinDispersion bin_dispersion(const NumberedBins& data);

/// Intraclass correlation that gives bins of this size (fruit, weighted by fruit) this design
/// effect; 0 for bins of one fruit.
double intraclass_of(double design_effect, double bin_size);
/// sum m^2 / sum m, of all bins or of one crew's.
double mean_bin_size(const NumberedBins& data, std::optional<std::size_t> crew = std::nullopt);

/// The smallest p-value that shuffling could give each crew: had it all the bad bins.
std::vector<double> attainable_p_values(const NumberedBins& data);

/// P-value of each crew, all crews allowed for: how often the largest score of any crew, whole bins
/// shuffled among crews within strata, is as large as this crew's.
std::vector<double> shuffled_p_values(const NumberedBins& data, const CrewScores& observed,
                                      double intraclass, int shuffles, std::uint64_t seed);

/// The same by Student's t with continuity correction, multiplied by the number of crews
/// (Bonferroni); degrees 0: the spread of bins is taken as known (normal distribution).
std::vector<double> spread_p_values(const CrewScores& observed, int degrees);

}  // namespace maturity
