#pragma once

#include <cstddef>
#include <string>

#include "libmaturity/readiness/flowering_estimate.h"
#include "libmaturity/stats/random_stream.h"

namespace maturity::simulate {

/// An invented block of two flowerings, 150 trees whose crops differ by half of their mean, a fifth
/// of the variance within a flowering between trees, and the trees drawn of it.
struct FloweringBlock {
  std::string what;
  /// Share of trees (or of fruit) of the late flowering, and SD of a flowering that it lies behind.
  double late = 0.3;
  double behind = 2.0;
  bool by_tree = true;
  std::size_t trees = 15;
  int fruit_per_tree = 1;
  /// Fruit on a late tree for each on an early one.
  double late_crop = 1.0;
};

struct DrawnFlowerings {
  BlockData data;
  Flowerings flowerings;
  Flowerings counted;
  double mean = 0.0;
  double share = 0.0;
};

/// Both flowerings of a block whose true share is given; oven fruit only. `counted` knows the crop
/// of every tree with the error that counted_crop_shares takes it to have.
DrawnFlowerings draw_flowerings(const FloweringBlock& block, double share, RandomStream& random);

}  // namespace maturity::simulate
