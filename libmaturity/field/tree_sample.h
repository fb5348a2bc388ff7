#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace maturity {

/// Where a tree stands, m, in any flat frame; or its place in the row and its row as counted, where
/// spacings are not known: every tree has the same chance whatever the frame, only the spread is
/// that of the frame.
struct TreePlace {
  double x_m = 0.0;
  double y_m = 0.0;
};

/// Draws `count` trees, each with the same chance, neighbours unlikely together: local pivotal
/// method, first variant (Grafstrom, Lundstrom and Schelin 2012, from memory): a tree and its
/// nearest undecided neighbour settle their chances between them until all are in or out. Returns
/// indices in ascending order. Same seed, same trees on every machine. Throws std::invalid_argument
/// for count < 1 or above the number of trees, or places that are not finite.
std::vector<std::size_t> draw_balanced_trees(const std::vector<TreePlace>& trees, int count,
                                             std::uint64_t seed);

/// Deals drawn trees out to rounds of a walk, as even in number as can be, so that each round is
/// itself spread over the block and an equal-chance sample of it: the first round is a balanced
/// draw from all, the next from what is left, and so on. Only at the end of a round may results be
/// looked at, since half a route is half a block. Returns positions in `places`, ascending, for
/// each round. Throws std::invalid_argument for rounds outside 1..places.
std::vector<std::vector<std::size_t>> deal_into_rounds(const std::vector<TreePlace>& places,
                                                       int rounds, std::uint64_t seed);

/// Standard error of the mean of a balanced sample that credits the balance: each tree is compared
/// with its nearest sampled neighbours (`neighbours` of them, itself included) instead of with the
/// mean of all, variance = sum m/(m-1) (y - local mean)^2 / n^2 (local mean variance of Grafstrom
/// and Schelin 2014, from memory). Simple random sampling is `neighbours` = n. values finite, one
/// per place, at least 2; neighbours 2..n. Throws std::invalid_argument.
double balanced_standard_error(const std::vector<TreePlace>& places,
                               const std::vector<double>& values, int neighbours = 4);

}  // namespace maturity
