#pragma once

#include <Eigen/Core>
#include <vector>

#include "libmaturity/readiness/block_data.h"
#include "libmaturity/readiness/estimated_block.h"

namespace maturity {

/// Correlation (g,g) of the means of groups that have trees in common: with f the share of a
/// group's read fruit that a tree gave, SUM f_g f_h over common trees, times the variance between
/// trees (geometric mean of both groups'), over the SD of both means; at most 0.95. `data` are the
/// fruit of each group.
Eigen::MatrixXd shared_trees(const std::vector<BlockData>& data,
                             const std::vector<EstimatedBlock>& groups);

}  // namespace maturity
