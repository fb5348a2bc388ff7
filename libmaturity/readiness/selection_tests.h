#pragma once

#include <optional>
#include <vector>

#include "libmaturity/readiness/phase_one.h"

namespace maturity {

/// Fruit with a meter reading and no oven reading below which the two groups are not compared.
inline constexpr int kFewestMeterOnly = 5;

/// P-value of "the oven fruit are a random part of the photographed fruit", by shape: mean shape of
/// the oven fruit against the block's, chi-square with p degrees of freedom on
/// d'(covariance + 1e-6)^-1 d / (1/n2 - 1/n1). Empty when it cannot be asked: no shape, no oven
/// fruit, every fruit in the oven, or n1 <= p + 2. `oven` (n): has an oven value and a shape.
std::optional<double> selection_by_shape(const PhaseOne& phase_one, const std::vector<bool>& oven);

/// P-value of "oven fruit and fruit with a meter reading only read alike on the meter": Welch's
/// two-sided t test (formula from memory). `oven`, `meter` (n), NaN = missing. Empty with fewer
/// than 3 oven fruit metered, fewer than 5 others, or no spread at all.
std::optional<double> selection_by_meter(const std::vector<double>& oven,
                                         const std::vector<double>& meter);

}  // namespace maturity
