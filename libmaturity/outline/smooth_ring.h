#pragma once

#include <vector>

namespace maturity {

/// Robust local quadratic along a closed ring of offsets, over `half_window` neighbours on each
/// side; weights fade with distance and with `weights`, and with the distance from the fit (three
/// rounds, Cauchy weights). All of one length.
std::vector<double> smooth_ring(const std::vector<double>& offsets,
                                const std::vector<double>& weights, int half_window);

}  // namespace maturity
