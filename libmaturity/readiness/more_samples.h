#pragma once

#include <optional>
#include <string_view>

#include "libmaturity/readiness/block_estimate.h"

namespace maturity {

/// What is known of a block before more is sampled. Variances in squared %.
struct PlanningState {
  double tree_variance = 0.0;
  double fruit_variance = 0.0;
  /// Variance that shape explains, between trees and within trees.
  double shape_tree_variance = 0.0;
  double shape_fruit_variance = 0.0;
  int trees = 0;
  int photographed = 0;
  int oven = 0;
  /// psi less the minimum, and its SD now, %.
  double margin = 0.0;
  double sd = 0.0;
  /// Normal quantile of the required share (0 for the rule `mean`).
  double share_z = 0.0;
  double confidence = 0.9;
};

/// Cost per new tree, photo and oven reading, any unit: only ratios matter.
struct SamplingCosts {
  double tree = 4.0;
  double photo = 0.5;
  double oven = 6.0;
};

enum class PlanOutcome {
  /// The plan below settles the rule with the chance asked for.
  plan,
  /// Nothing within reach does; the best found is given: wait for the next visit.
  cannot_settle,
  /// The estimate settles it already.
  settled,
  /// Not enough oven fruit to plan from: first reach 5 oven fruit on 3 trees.
  too_few_to_plan
};
std::string_view name(PlanOutcome outcome);
std::string_view sentence(PlanOutcome outcome);

/// What more to sample. trees, photos and oven are additions.
struct SamplePlan {
  PlanOutcome outcome = PlanOutcome::too_few_to_plan;
  int trees = 0;
  int photos = 0;
  int oven = 0;
  double cost = 0.0;
  /// Chance that, after it, the block is ready or not yet; empty when there is nothing to plan.
  std::optional<double> p_settle;
  /// SD of psi expected after it, %.
  std::optional<double> sd_after;
};

/// Planning variance of psi for k trees, n1 photographed fruit, n2 oven fruit, squared %:
/// (tree + shape_tree)/k + shape_fruit/n1 + fruit/n2 + z^2 (sigma^4/(2(n2* - 1)) +
/// shape^2/(2(n1 - 1)))/spread^2, n2* = n2 deflated by clustering when trees give several. Formula:
/// variance of a two-phase, two-stage mean and of a normal SD (Cochran 1977, from memory). Oven
/// readings only. Throws std::invalid_argument for k < 1, n1 < 2 or n2 < 2.
double planning_variance(const PlanningState& state, int trees, int photographed, int oven);

/// Chance that the rule is settled (ready or not yet) once the SD of psi is sd_after <= sd now.
double chance_to_settle(double margin, double sd, double sd_after, double confidence);

/// The most new trees that are worth planning, the photos of each, and the most oven readings.
inline constexpr int kMostNewTrees = 60;
inline constexpr int kPhotosPerTree = 3;
inline constexpr int kMostOvenPerTree = 3;

/// Throws std::invalid_argument for settle outside (0,1) or costs that are negative or all 0.
void check_planning(const SamplingCosts& costs, double settle);

/// What an estimate with a posterior knows; a fifth of the shape's variance is taken to lie between
/// trees.
PlanningState planning_state(const BlockEstimate& estimate);

/// Cheapest addition that settles the rule with chance >= settle: up to 60 new trees with 3 photos
/// and 1, 2 or 3 oven readings each, or oven readings on fruit already photographed. Throws
/// std::invalid_argument for settle outside (0,1) or costs that are negative or all 0.
SamplePlan more_samples(const PlanningState& state, const SamplingCosts& costs = {},
                        double settle = 0.5);

/// The same for a block estimate.
SamplePlan more_samples(const BlockEstimate& estimate, const SamplingCosts& costs = {},
                        double settle = 0.5);

}  // namespace maturity
