#pragma once

#include <ostream>
#include <vector>

#include "tools/simulate/tables.h"

namespace maturity::simulate {

/// The rule `mean`: how often "ready" is said of blocks whose true mean lies below and above the
/// minimum, and stated readiness against how often the rule was truly met.
void print_mean_rule(std::ostream& out, const std::vector<Scenario>& scenarios,
                     const Settings& settings);

/// The selective pass: share of immature fruit among those taken by shape, and the share of the
/// crop that is taken, stated against true, where the link to shape is straight.
void print_selective(std::ostream& out, const std::vector<Scenario>& scenarios,
                     const Settings& settings);

}  // namespace maturity::simulate
