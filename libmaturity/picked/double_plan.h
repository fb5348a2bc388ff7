#pragma once

#include <optional>

#include "libmaturity/stats/acceptance.h"

namespace maturity {

/// Normal double plan for a code letter D..L and an acceptable quality level of 1.5, 2.5, 4, 6.5 or
/// 10 bad in 100: two samples of the next smaller size each, numbers by the acceptance number of
/// the single plan. FROM MEMORY of MIL-STD-105E table III-A (the single plans, by single_plan, are
/// READ); the tests hold its operating characteristic against that of the single plan, which the
/// standard matches. Empty where the single plan accepts none (the standard then has no double
/// plan) or is not known. Throws std::invalid_argument as single_plan does.
std::optional<DoublePlan> double_plan(char letter, double acceptable_pct);

}  // namespace maturity
