#pragma once

#include <ostream>
#include <vector>

#include "tools/simulate/real_pairs.h"
#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// Bias, SEP and slope of the meter by population, how they compare with the model's priors, and
/// how much the bias of one instrument differs between populations.
void print_meter_errors(std::ostream& out, const std::vector<Population>& populations);

/// What a bias learnt on other populations of the instrument would be worth: blocks of 60 meter
/// readings without own oven fruit, the bias taken from the others with its error.
void print_borrowed_bias(std::ostream& out, const std::vector<Population>& populations,
                         const Settings& settings);

/// Blocks sampled from each population with replacement: 60 fruit with the meter, 15 of them in the
/// oven, one fruit per tree, no shape; held against the population's own mean and share.
void print_population_blocks(std::ostream& out, const std::vector<Population>& populations,
                             const Settings& settings);

}  // namespace maturity::simulate
