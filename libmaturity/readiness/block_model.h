#pragma once

#include <vector>

#include "libmaturity/readiness/block_data.h"
#include "libmaturity/readiness/block_design.h"
#include "libmaturity/readiness/grid_posterior.h"

namespace maturity {

/// Reading of fruit i; NaN where the list is shorter (no such instrument).
double value_at(const std::vector<double>& values, std::size_t i);

/// The rows that the design uses, readings less kLevelGuess, with the priors that the options ask.
GridModel model_of(const BlockData& data, const BlockOptions& options, const BlockDesign& design);

}  // namespace maturity
