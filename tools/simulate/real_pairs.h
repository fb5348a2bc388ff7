#pragma once

#include <istream>
#include <ostream>
#include <string>
#include <vector>

#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// Oven and meter dry matter of real fruit of one population, read by one instrument, %.
struct Population {
  std::string population;
  std::string instrument;
  std::vector<double> oven;
  std::vector<double> meter;
};

/// Reads CSV with a header that has the columns population, instrument, dm_reference_pct and
/// dm_nir_pred_pct; other columns are ignored. A group for each population and instrument, in the
/// order of the file. Throws std::runtime_error naming the row for a missing column or a cell that
/// is no number.
std::vector<Population> read_pairs(std::istream& csv);

/// Bias, SEP and slope of the meter by population, how they compare with the model's priors, and
/// how much the bias of one instrument differs between populations.
void print_meter_errors(std::ostream& out, const std::vector<Population>& populations);

/// Blocks sampled from each population with replacement: 60 fruit with the meter, 15 of them in the
/// oven, one fruit per tree, no shape; held against the population's own mean and share.
void print_population_blocks(std::ostream& out, const std::vector<Population>& populations,
                             const Settings& settings);

}  // namespace maturity::simulate
