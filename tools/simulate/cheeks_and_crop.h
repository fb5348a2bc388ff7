#pragma once

#include <ostream>

#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// What a second cheek of an oven fruit buys, and what it does to treat a single cheek as a reading
/// with error: 15 fruit of 15 trees, no shape, no meter.
void print_cheeks(std::ostream& out, const Settings& settings);

/// Trees that bear more may lag: the block's fruit weigh trees by their crop, a draw with equal
/// chance does not. One oven fruit per tree, no shape, no meter.
void print_crop(std::ostream& out, const Settings& settings);

}  // namespace maturity::simulate
