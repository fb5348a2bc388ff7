#pragma once

#include <optional>
#include <vector>

namespace maturity {

/// Skewness m3/m2^1.5 of the values (NaN are skipped); empty for fewer than 3 or without spread.
std::optional<double> skewness(const std::vector<double>& values);

/// True when at least 20 values lean to the left by more than chance: skewness below -2.3 times its
/// large-sample standard error sqrt(6/n) for normal values (from memory), about 1 in 100.
bool leans_left(std::optional<double> value, int n);

}  // namespace maturity
