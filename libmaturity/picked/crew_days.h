#pragma once

#include <vector>

#include "libmaturity/picked/crew_scores.h"

namespace maturity {

/// How far the days of the crews agree once each crew and each block, method and day has its own
/// level: trees differ, and a crew gets other trees each day.
struct DaySpread {
  /// Pearson's chi-square of crews within days over its degrees, bins of a day varying as known;
  /// about 1 where days agree. 1 with 0 degrees.
  double ratio = 1.0;
  int degrees = 0;
};

/// Log-linear model, crew by block, method and day, fitted to the counts by iterative proportional
/// fitting (Deming and Stephan 1940, from memory). Only days that crews share tell anything.
DaySpread day_spread(const NumberedBins& data, double intraclass);

/// P-value of each crew, all crews allowed for (Bonferroni), with days as what varies: Student's t
/// on the degrees of the day spread. 0 for every crew where the days show no sign of varying more
/// than bins do: an F test against the `spare_bins` at one in four, the level usual for pooling
/// (Bancroft, from memory); 0 spare bins: against bins that vary as assumed.
std::vector<double> day_p_values(const NumberedBins& data, const CrewScores& scores,
                                 double intraclass, int spare_bins);

}  // namespace maturity
