#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libmaturity/calibration/meter_fit.h"

namespace maturity {

/// Leaves out one fold at a time and predicts its oven values from its readings by the others'
/// line: oven regressed on the reading within blocks (MeterPairs::block), through the mean of the
/// other blocks' means. Empty with a single fold, or where readings do not differ within blocks.
std::optional<LeftOutReadings> left_out_readings(const MeterPairs& pairs,
                                                 const std::vector<std::string>& fold);

}  // namespace maturity
