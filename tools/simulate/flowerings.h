#pragma once

#include <ostream>

#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// Blocks of two flowerings: estimated together, or apart and joined by shares of the crop from the
/// sample or from counted trees. Oven fruit only, no shape.
void print_flowerings(std::ostream& out, const Settings& settings);

/// How often two groups that nobody named are noticed, and how often where there are none.
void print_humps(std::ostream& out, const Settings& settings);

}  // namespace maturity::simulate
