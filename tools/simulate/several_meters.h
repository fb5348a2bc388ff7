#pragma once

#include <ostream>

#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// Blocks read with two meters: each with its own bias (as the library has it), both taken for one
/// (wrong on purpose), and the readings of one meter only. The same blocks for all three.
void print_several_meters(std::ostream& out, const Settings& settings);

}  // namespace maturity::simulate
