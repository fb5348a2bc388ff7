#pragma once

#include <optional>
#include <vector>

#include "libmaturity/readiness/meter_slope.h"
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

/// How drawn blocks are estimated: as seasons are scored, but with shape always used.
struct Method {
  RuleKind rule = RuleKind::share;
  bool shape_always = true;
  double meter_slope = kMeterSlopeGuess;
  double meter_slope_sd = kMeterSlopeGuessSd;
  /// Error of the meter as if known from so many fruit; empty: that of the plain model.
  std::optional<double> meter_sep = kMeterSepGuess;
  std::optional<int> meter_sep_n = kMeterSepGuessFruit;
};

/// Estimates a drawn block: rule share 0.9, confidence 0.9.
Outcome run(const Drawn& drawn, const Method& method);

}  // namespace maturity::simulate
