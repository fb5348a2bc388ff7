#pragma once

#include <vector>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// How predictions agree with reference values, in their unit. Error = predicted - reference, so a
/// positive bias reads too high. Forms: standard calibration statistics of the ISO 12099 kind (a
/// feed and cereal standard, borrowed; from memory). Intervals and tests are 95 % and take pairs as
/// independent: for fruit that come in blocks see clustered_agreement.h.
struct Agreement {
  /// Pairs used, and pairs left out because one of the two is missing.
  int pairs = 0;
  int left_out = 0;
  /// Mean error, its interval (Student t), and the largest that chance explains:
  /// t(0.975, n-1) SEP/sqrt n.
  double bias = 0.0;
  Bounds bias_interval;
  double bias_limit = 0.0;
  bool bias_significant = false;
  /// sqrt(mean squared error), divisor n: bias included. Its interval joins those of bias and
  /// spread (Zou and Donner 2008, Stat. Med. 27:1693-1702, limits for a sum; from memory).
  double rmsep = 0.0;
  Bounds rmsep_interval;
  /// Standard deviation of the error, divisor n-1: bias taken out. rmsep^2 = bias^2 +
  /// sep^2 (n-1)/n. Interval by chi-square.
  double sep = 0.0;
  Bounds sep_interval;
  /// Reference regressed on predicted.
  double slope = 0.0;
  double intercept = 0.0;
  Bounds slope_interval;
  double residual_sd = 0.0;
  /// |slope - 1| over its standard error, and the 0.975 t quantile with n-2 degrees.
  double slope_t = 0.0;
  double slope_t_limit = 0.0;
  bool slope_significant = false;
  /// Squared correlation, with its interval by Fisher's z (empty of meaning below 4 pairs: 0..1).
  double r_squared = 0.0;
  Bounds r_squared_interval;
  /// 1 - SSE/SST: falls below r_squared by bias and slope; can be negative.
  double r_squared_identity = 0.0;
  /// SD of the reference over SEP, and over RMSEP: both are in use.
  double reference_sd = 0.0;
  double rpd_sep = 0.0;
  double rpd_rmsep = 0.0;
  /// Of rpd_sep, from that of SEP: the spread of the reference is what it is.
  Bounds rpd_sep_interval;
};

/// Sets the intervals that follow from other fields: of RMSEP and of rpd_sep.
void set_joined_intervals(Agreement& agreement);

/// Pairs with a NaN are left out and counted. Throws std::invalid_argument for lengths that differ,
/// infinite values, fewer than 3 whole pairs, or values that are all equal on either side.
Agreement agreement(const std::vector<double>& reference, const std::vector<double>& predicted);

/// Largest SEP that chance explains for `pairs` new ones, given the calibration's own standard
/// error with its degrees of freedom: sec sqrt(F(confidence; n-1, degrees)) (from memory).
double unexplained_error_limit(double calibration_error, int pairs, int degrees,
                               double confidence = 0.95);

}  // namespace maturity
