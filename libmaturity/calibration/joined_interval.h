#pragma once

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// Limits of sqrt(bias^2 + variance) from those of its parts: limits for a sum of two (Zou and
/// Donner 2008, Stat. Med. 27:1693-1702, from memory).
Bounds joined_interval(double bias, const Bounds& bias_interval, double variance,
                       const Bounds& variance_interval);

}  // namespace maturity
