#pragma once

#include <vector>

#include "tools/simulate/scenario.h"

namespace maturity::simulate {

/// What one simulated block came to, beside its truth.
struct Outcome {
  double true_mean = 0.0;
  double true_share = 0.0;
  double mean = 0.0;
  double mean_width = 0.0;
  bool mean_covered = false;
  bool mean_covered_80 = false;
  bool share_covered = false;
  bool share_covered_80 = false;
  /// 0..1
  double readiness = 0.0;
  bool ready = false;
  bool not_yet = false;
  /// The plain t interval and noncentral t, for comparison; of oven fruit only.
  bool plain_mean_covered = false;
  double plain_readiness = 0.0;
  bool robust = false;
};

/// Estimates a drawn block: rule share 0.9, confidence 0.9, shape as by default or always on.
Outcome run(const Drawn& drawn, bool shape_always);

}  // namespace maturity::simulate
