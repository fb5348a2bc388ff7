#pragma once

#include <Eigen/Core>
#include <vector>

#include "libmaturity/readiness/crop_share.h"
#include "libmaturity/readiness/estimated_block.h"

namespace maturity {

/// Joins groups of a block that were estimated apart into the block's mean, share and psi, their
/// intervals, spread and readiness, written into `block` (whose rule they answer; other fields
/// stay).
///
/// The block's share is SUM w_g S_g, its mean SUM w_g M_g. (M_g, S_g) of each group come from its
/// own posterior mixture, w from the Dirichlet of `shares`; all are carried through on 2048 Sobol
/// points (Boost.Random), the same every time. Mean and SD of the block's mean are exact:
/// stratified sampling (Cochran 1977, from memory) with the shares' own error. Groups whose crop is
/// exactly 0 count for nothing, and a group with all of it stands for the block as it is.
///
/// `correlation` (g,g) is that of the groups' means, for instance where they share trees; the
/// spreads are taken as independent. Throws std::invalid_argument where there is no group, lengths
/// differ, or a group with crop has no posterior.
void join_groups(const std::vector<EstimatedBlock>& groups, const CropShares& shares,
                 const Eigen::MatrixXd& correlation, BlockEstimate& block);

}  // namespace maturity
