#pragma once

#include <vector>

namespace maturity {

/// One-sided normal tolerance factor k1: with this confidence at least this share of the fruit lies
/// above mean - k1 * sd, from n independent values. n >= 2, share and confidence within (0,1).
/// Noncentral t: k1 = t(confidence; n-1, z_share sqrt n)/sqrt n (NIST/SEMATECH e-Handbook 7.2.6.3,
/// READ in a worksheet citing it). Throws std::invalid_argument.
double tolerance_factor(int n, double share, double confidence);

/// The handbook's closed approximation of it (good to about 0.1 % at n = 43). NaN where it has no
/// real value (very few units).
double approximate_tolerance_factor(int n, double share, double confidence);

/// Smallest n whose smallest value is a tolerance limit whatever the distribution: the first n with
/// 1 - share^n >= confidence (Wilks 1941, from memory).
int distribution_free_sample_size(double share, double confidence);

/// mean - k1 * sd of the values (unit of the values). Assumes independent, normal values measured
/// without error: instrument error inflates sd and makes the limit too low.
double lower_tolerance_limit(const std::vector<double>& values, double share, double confidence);

}  // namespace maturity
