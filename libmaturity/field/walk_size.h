#pragma once

#include <optional>

#include "libmaturity/readiness/more_samples.h"

namespace maturity {

/// Variances that a walk is planned with, squared %, and what balance is taken to be worth.
struct WalkVariances {
  double tree_variance = 0.0;
  double fruit_variance = 0.0;
  /// Variance that shape explains; 0 where that is not known.
  double shape_tree_variance = 0.0;
  double shape_fruit_variance = 0.0;
  /// Normal quantile of the required share; 0 for the rule `mean`.
  double share_z = 0.0;
  /// Error variance between trees of a balanced sample over that of a simple random one; 1 credits
  /// nothing.
  double balance = 1.0;
};

/// What is expected of the block at the walk: what the rule looks at less the minimum, and how
/// sure that is, %.
struct ExpectedMargin {
  double margin = 0.0;
  double sd = 0.0;
  double confidence = 0.9;
};

/// Trees, fruit of each tree on photos, and of these into the oven.
struct WalkDesign {
  int trees = 0;
  int fruit_per_tree = 0;
  int oven_per_tree = 0;
  double cost = 0.0;
  /// SD of the error of what the rule looks at, %.
  double standard_error = 0.0;
  /// Chance of a clear decision (ready or not yet) from this walk alone; empty without a margin.
  std::optional<double> p_clear;
  /// False: nothing within the limits reaches what was asked; this is the best of them.
  bool reached = false;
};

/// How far the search may go. fruit_high = fruit_low fixes the fruit per tree. Fewer than 5 oven
/// fruit settle nothing (decision.h), hence 5 trees.
struct WalkLimits {
  int trees_low = 5;
  int trees_high = 60;
  int fruit_low = 1;
  int fruit_high = 6;
  int oven_high = 3;
};

/// SD of the error of psi (or of the mean) from a walk: planning_variance of more_samples.h with
/// the part between trees multiplied by `balance`. Throws std::invalid_argument for variances below
/// 0 or all 0, balance outside (0, 1], counts below 1, more oven fruit than fruit, or fewer than
/// 2 oven fruit in all.
double walk_error(const WalkVariances& variances, int trees, int fruit_per_tree, int oven_per_tree);

/// False for walks too small to call a block ready (kFewestOvenFruit, kFewestOvenTrees in
/// decision.h): they may only say not yet.
bool may_say_ready(int trees, int oven_per_tree);

/// Chance that a walk whose own error has SD `error_sd` says ready or not yet at the confidence:
/// its result is normal around a truth that is itself known to margin.sd only. Without
/// `may_be_ready`: that it says not yet.
double chance_of_clear_decision(const ExpectedMargin& margin, double error_sd,
                                bool may_be_ready = true);

/// Design as given, with its error, cost, and (with a margin) its chance of a clear decision.
WalkDesign walk_design(const WalkVariances& variances, const SamplingCosts& costs,
                       const std::optional<ExpectedMargin>& margin, int trees, int fruit_per_tree,
                       int oven_per_tree);

/// Cheapest design whose 95 % interval is at most +- half_width, % (two-stage sampling, Cochran
/// 1977, from memory). Throws std::invalid_argument for half_width <= 0, costs negative or all 0,
/// or limits without a design.
WalkDesign walk_for_error(const WalkVariances& variances, const SamplingCosts& costs,
                          const WalkLimits& limits, double half_width,
                          const std::optional<ExpectedMargin>& margin = {});

/// Cheapest design that gives a clear decision with chance `wanted`, within (0, 1).
WalkDesign walk_for_decision(const WalkVariances& variances, const SamplingCosts& costs,
                             const WalkLimits& limits, double wanted, const ExpectedMargin& margin);

}  // namespace maturity
