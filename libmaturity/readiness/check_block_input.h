#pragma once

#include "libmaturity/readiness/block_data.h"

namespace maturity {

/// Throws std::invalid_argument naming the argument, its value and the rule (fruit by row from 1)
/// for input that no estimate can be made of.
void check_block_input(const BlockData& data, const BlockRule& rule, const BlockOptions& options);

/// Throws unless the rule's numbers are within their ranges.
void check_rule(const BlockRule& rule);

}  // namespace maturity
