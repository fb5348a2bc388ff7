#pragma once

namespace maturity {

/// Variance of a slope between blocks as it is used: the estimate from `blocks` blocks drawn
/// towards a planning guess that weighs as much as two, and widened by (k-1)/(k-3), the variance of
/// Student's t, for k >= 5 blocks (2 below), since few blocks tell little of a spread.
inline double spread_to_use(double estimated, double guess, double blocks) {
  constexpr double kGuessWeight = 2.0;
  constexpr double kFewBlocks = 5.0;
  constexpr double kFewBlocksFactor = 2.0;
  const double drawn =
      ((blocks - 1.0) * estimated + kGuessWeight * guess) / (blocks - 1.0 + kGuessWeight);
  const double widening = blocks >= kFewBlocks ? (blocks - 1.0) / (blocks - 3.0) : kFewBlocksFactor;
  return widening * drawn;
}

}  // namespace maturity
