#pragma once

#include "libmaturity/pipeline/measure_photo.h"

namespace maturity {

/// Throws std::invalid_argument naming the first setting out of range, its value and the rule.
void check(const MeasureSettings& settings);

}  // namespace maturity
