#pragma once

// The block estimate once more, slowly and plainly: the whole covariance matrix of all readings at
// every node, conditioning of a joint normal instead of information sums, its own grid and
// standardisation. It knows no selection, no calibration and no missing photos.

#include <string>
#include <vector>

#include "libmaturity/readiness/block_data.h"

namespace maturity::cases {

/// Ways to be wrong on purpose, which the worked values must catch.
struct Twist {
  bool ignore_trees = false;
  bool meter_is_truth = false;
  bool forget_sampling_of_shape = false;
  bool forget_slopes_in_spread = false;
  bool meters_as_one = false;
};

struct TwinFruit {
  double mean = 0.0;
  double sd = 0.0;
};

struct TwinResult {
  double mean = 0.0;
  double sd = 0.0;
  double readiness = 0.0;
  double spread = 0.0;
  std::vector<TwinFruit> fruit;
};

TwinResult dense_twin(const BlockData& data, double minimum, double share_z,
                      const Twist& twist = {});

}  // namespace maturity::cases
