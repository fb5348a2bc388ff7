#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/calibration/block_moments.h"

namespace maturity {

/// Limits of the rule below.
struct SelectionRule {
  /// Descriptors whose within-block correlation reaches this say the same and form one group.
  double same_at = 0.9;
  int at_most = 8;
  /// Fruit (less one per block) that each descriptor needs.
  int fruit_per_descriptor = 10;
};

/// Picks descriptors by a fixed rule: constant ones are dropped; correlated ones are grouped
/// (single linkage); each group sends the one most correlated with dry matter within blocks
/// (absolute value, ties to the earlier name); groups are ranked by it and the first `at_most` that
/// the number of fruit allows (at least one) are kept. Returns their columns in ascending order;
/// empty when every descriptor is constant. It looks at dry matter, so cross-validation must repeat
/// it in every fold.
std::vector<Eigen::Index> select_descriptors(const std::vector<const BlockMoments*>& blocks,
                                             const std::vector<bool>& constant,
                                             const SelectionRule& rule = {});

}  // namespace maturity
