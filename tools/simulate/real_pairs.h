#pragma once

#include <istream>
#include <string>
#include <vector>

namespace maturity::simulate {

/// Oven and meter dry matter of real fruit of one population, read by one instrument, %.
struct Population {
  std::string population;
  std::string instrument;
  /// Which fruit each reading is of; most were read twice.
  std::vector<std::string> fruit;
  std::vector<double> oven;
  std::vector<double> meter;
};

/// Reads CSV with a header that has the columns population, instrument, reference_no (the fruit),
/// dm_reference_pct and dm_nir_pred_pct; other columns are ignored. A group for each population and
/// instrument, in the order of the file. Throws std::runtime_error naming the row for a missing
/// column or a cell that is no number.
std::vector<Population> read_pairs(std::istream& csv);

/// What the meter does in one population: mean and SD of meter less oven, and the slope of the
/// meter regressed on the oven.
struct MeterFacts {
  double bias = 0.0;
  double sep = 0.0;
  double slope = 0.0;
  /// SD of the reading about that regression.
  double about_line = 0.0;
};
MeterFacts facts_of(const Population& group);

/// Mean, and standard deviation with divisor n - 1.
double mean_of(const std::vector<double>& values);
double sd_of(const std::vector<double>& values);

/// "12.35" with so many decimals.
std::string decimals(double value, int digits);

}  // namespace maturity::simulate
