#pragma once

#include <optional>
#include <vector>

namespace maturity {

/// Skewness m3/m2^1.5 of the values (NaN are skipped); empty for fewer than 3 or without spread.
std::optional<double> skewness(const std::vector<double>& values);

/// True when at least 20 values lean to the left by more than chance: skewness below -2.3 times its
/// large-sample standard error sqrt(6/n) for normal values (from memory), about 1 in 100.
bool leans_left(std::optional<double> value, int n);

/// True where dry matter falls away from its line on shape at both ends, so that fruit far behind
/// lie lower than the line: correlation of the residuals with the squared distance of `expected`
/// from its mean, t below -2.5 (one in a hundred by chance) with 20 fruit or more. NaN residuals
/// are left out.
bool bends_down(const std::vector<double>& expected, const std::vector<double>& residual);

}  // namespace maturity
