#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/core/edge_noise.h"
#include "libmaturity/pose/outline_traits.h"

namespace maturity {

/// Variance of the sum of by_edge times the errors of the `count` points from `first` on.
double slide_variance(const OutlineTraits& traits, const std::vector<double>& by_edge,
                      std::size_t first, std::size_t count, const EdgeNoise& noise);

}  // namespace maturity
