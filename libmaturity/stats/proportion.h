#pragma once

#include "libmaturity/stats/bounds.h"

namespace maturity {

enum class ProportionMethod {
  /// Score interval: closest to its stated level on average.
  wilson,
  /// Exact: at least its stated level always, and so wider.
  clopper_pearson
};

/// Two-sided interval for a share, from `count` of `n` independent units. 0 <= count <= n, n > 0,
/// level within (0,1). Counts need not be whole: units drawn in clusters are divided by their
/// design effect first (Korn and Graubard 1998, from memory). Throws std::invalid_argument.
/// Formulas: NIST/SEMATECH e-Handbook 7.2.4.1 (READ).
Bounds proportion_interval(double count, double n, double level = 0.95,
                           ProportionMethod method = ProportionMethod::wilson);

/// One-sided exact upper bound: with this confidence the share is not higher.
double proportion_upper_bound(double count, double n, double confidence = 0.95);

/// Units needed to know a share within +/- half_width: n0 = z^2 p(1-p)/e^2 (Cochran), unrounded.
/// z is the normal quantile to use, for instance 1.96. share within (0,1), half_width within (0,1).
double proportion_sample_size(double share, double half_width, double z);

/// The same for a lot of `population` units: n0/(1 + (n0 - 1)/population).
double proportion_sample_size(double share, double half_width, double z, double population);

}  // namespace maturity
