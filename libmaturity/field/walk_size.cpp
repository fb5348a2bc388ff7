#include "libmaturity/field/walk_size.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>

#include "libmaturity/readiness/decision.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_design(int trees, int fruit_per_tree, int oven_per_tree) {
  if (trees < 1) {
    reject_argument("trees", trees, "at least 1");
  }
  if (fruit_per_tree < 1) {
    reject_argument("fruit_per_tree", fruit_per_tree, "at least 1");
  }
  if (oven_per_tree < 1 || oven_per_tree > fruit_per_tree) {
    reject_argument("oven_per_tree", oven_per_tree,
                    "1 to the fruit per tree, " + std::to_string(fruit_per_tree));
  }
  if (trees * oven_per_tree < 2) {
    reject_argument("trees", trees, "at least 2 oven fruit in all");
  }
}

void check_variances(const WalkVariances& variances) {
  const double least = std::min({variances.tree_variance, variances.fruit_variance,
                                 variances.shape_tree_variance, variances.shape_fruit_variance});
  if (!(least >= 0.0) || !(variances.tree_variance + variances.fruit_variance > 0.0)) {
    reject_argument("variances", least, "none below 0, not all 0");
  }
  if (!(variances.balance > 0.0 && variances.balance <= 1.0)) {
    reject_argument("balance", variances.balance, "above 0 and at most 1");
  }
}

void check_costs(const SamplingCosts& costs) {
  const double least = std::min({costs.tree, costs.photo, costs.oven});
  if (!(least >= 0.0) || !(costs.tree + costs.photo + costs.oven > 0.0)) {
    reject_argument("costs", least, "none negative, not all 0");
  }
}

/// Cheapest design for which `good` holds; else the one for which `worth` is largest.
WalkDesign search_designs(const WalkVariances& variances, const SamplingCosts& costs,
                          const WalkLimits& limits, const std::optional<ExpectedMargin>& margin,
                          const std::function<bool(const WalkDesign&)>& good,
                          const std::function<double(const WalkDesign&)>& worth) {
  check_costs(costs);
  if (limits.trees_low < 2 || limits.trees_high < limits.trees_low) {
    reject_argument(
        "trees", limits.trees_high,
        "at least " + std::to_string(std::max(2, limits.trees_low)) + " trees that may be drawn");
  }
  if (limits.fruit_low < 1 || limits.fruit_high < limits.fruit_low || limits.oven_high < 1) {
    reject_argument("fruit per tree", limits.fruit_high, "at least 1");
  }
  WalkDesign cheapest;
  WalkDesign best;
  for (int trees = limits.trees_low; trees <= limits.trees_high; ++trees) {
    for (int fruit = limits.fruit_low; fruit <= limits.fruit_high; ++fruit) {
      for (int oven = 1; oven <= std::min(fruit, limits.oven_high); ++oven) {
        WalkDesign design = walk_design(variances, costs, margin, trees, fruit, oven);
        if (best.trees == 0 || worth(design) > worth(best)) {
          best = design;
        }
        if (good(design) && (cheapest.trees == 0 || design.cost < cheapest.cost)) {
          cheapest = design;
          cheapest.reached = true;
        }
      }
    }
  }
  return cheapest.trees > 0 ? cheapest : best;
}

}  // namespace

double walk_error(const WalkVariances& variances, int trees, int fruit_per_tree,
                  int oven_per_tree) {
  check_variances(variances);
  check_design(trees, fruit_per_tree, oven_per_tree);
  PlanningState state;
  state.tree_variance = variances.tree_variance;
  state.fruit_variance = variances.fruit_variance;
  state.shape_tree_variance = variances.shape_tree_variance;
  state.shape_fruit_variance = variances.shape_fruit_variance;
  state.share_z = variances.share_z;
  const double variance =
      planning_variance(state, trees, trees * fruit_per_tree, trees * oven_per_tree);
  const double between = (variances.tree_variance + variances.shape_tree_variance) / trees;
  return std::sqrt(variance - (1.0 - variances.balance) * between);
}

bool may_say_ready(int trees, int oven_per_tree) {
  return trees >= kFewestOvenTrees && trees * oven_per_tree >= kFewestOvenFruit;
}

double chance_of_clear_decision(const ExpectedMargin& margin, double error_sd, bool may_be_ready) {
  if (!(error_sd > 0.0) || !std::isfinite(error_sd)) {
    reject_argument("error_sd", error_sd, "above 0 %");
  }
  if (!(margin.sd >= 0.0) || !std::isfinite(margin.margin)) {
    reject_argument("margin", margin.margin, "a finite margin with its SD of at least 0");
  }
  if (!(margin.confidence > 0.5 && margin.confidence < 0.999)) {
    reject_argument("confidence", margin.confidence, "between 0.5 and 0.999");
  }
  const double reach = normal_quantile(margin.confidence) * error_sd;
  const double spread = std::hypot(margin.sd, error_sd);
  const double ready = may_be_ready ? normal_cdf((margin.margin - reach) / spread) : 0.0;
  return ready + normal_cdf((-margin.margin - reach) / spread);
}

WalkDesign walk_design(const WalkVariances& variances, const SamplingCosts& costs,
                       const std::optional<ExpectedMargin>& margin, int trees, int fruit_per_tree,
                       int oven_per_tree) {
  check_costs(costs);
  WalkDesign design{trees, fruit_per_tree, oven_per_tree, 0.0, 0.0, {}, false};
  design.standard_error = walk_error(variances, trees, fruit_per_tree, oven_per_tree);
  design.cost = trees * (costs.tree + fruit_per_tree * costs.photo + oven_per_tree * costs.oven);
  if (margin) {
    design.p_clear = chance_of_clear_decision(*margin, design.standard_error,
                                              may_say_ready(trees, oven_per_tree));
  }
  return design;
}

WalkDesign walk_for_error(const WalkVariances& variances, const SamplingCosts& costs,
                          const WalkLimits& limits, double half_width,
                          const std::optional<ExpectedMargin>& margin) {
  if (!(half_width > 0.0) || !std::isfinite(half_width)) {
    reject_argument("half_width", half_width, "above 0 %");
  }
  const double wanted = half_width / normal_quantile(0.975);
  return search_designs(
      variances, costs, limits, margin,
      [&](const WalkDesign& design) { return design.standard_error <= wanted; },
      [](const WalkDesign& design) { return -design.standard_error; });
}

WalkDesign walk_for_decision(const WalkVariances& variances, const SamplingCosts& costs,
                             const WalkLimits& limits, double wanted,
                             const ExpectedMargin& margin) {
  if (!(wanted > 0.0 && wanted < 1.0)) {
    reject_argument("wanted", wanted, "a chance between 0 and 1");
  }
  return search_designs(
      variances, costs, limits, margin,
      [&](const WalkDesign& design) { return design.p_clear.value() >= wanted; },
      [](const WalkDesign& design) { return design.p_clear.value(); });
}

}  // namespace maturity
