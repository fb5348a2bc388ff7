#pragma once

#include <ostream>

#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// Blocks of two flowerings: estimated together, or apart and joined by shares of the crop from the
/// sample or from counted trees. Oven fruit only, no shape.
void print_flowerings(std::ostream& out, const Settings& settings);

}  // namespace maturity::simulate
