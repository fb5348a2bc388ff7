#pragma once

#include <optional>

#include "libmaturity/stats/acceptance.h"

namespace maturity {

/// Normal double plan for a code letter D..L and an acceptable quality level of 1.5, 2.5, 4, 6.5 or
/// 10 bad in 100: two samples of the next smaller size each, numbers by the acceptance number of
/// the single plan. From memory of MIL-STD-105E table III-A. The eight rows of numbers stand in the
/// same order in a public transcription of the same table in ANSI/ASQ Z1.4 (READ-2nd, the source of
/// a sampling program), but one level off from its own single plans; which row belongs to which
/// single plan is from memory and by the operating characteristics: the tests hold each row's
/// against that of the single plan, which the standard matches. Empty where the single plan accepts
/// none (the standard then has no double plan) or is not known. Throws std::invalid_argument as
/// single_plan does.
std::optional<DoublePlan> double_plan(char letter, double acceptable_pct);

}  // namespace maturity
