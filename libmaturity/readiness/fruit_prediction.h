#pragma once

#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/grid_posterior.h"

namespace maturity {

/// Posterior mean and SD of every model row's true dry matter, %, over the nodes that weigh at
/// least a thousandth of the heaviest. Fruit without readings are told by their shape and tree.
std::vector<MeanSd> predict_fruit(const GridModel& model, const TreeSums& sums,
                                  const GridPosterior& posterior);

}  // namespace maturity
