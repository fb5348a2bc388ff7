#pragma once

#include <ostream>

#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// How often the ranges that `maturity calibrate` states for another block or visit hold what is
/// true of very many, beside those that take fruit as independent: meters and shape, by number of
/// blocks.
void print_calibration_ranges(std::ostream& out, const Settings& settings);

}  // namespace maturity::simulate
