#include "libmaturity/readiness/more_samples.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "libmaturity/readiness/decision.h"
#include "libmaturity/readiness/named_text.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

// Not known from the fit: planning guess.
constexpr double kShapeBetweenTrees = 0.2;

constexpr std::array<NamedText, 4> kOutcome{{
    {"plan", "This is the cheapest addition that can be expected to settle it."},
    {"cannot_settle",
     "More fruit cannot be expected to settle it; the block is close to the limit: wait for the "
     "next visit."},
    {"settled", "Nothing more is needed: the sample settles it at the confidence asked for."},
    {"too_few_to_plan",
     "First oven-dry at least 5 fruit from at least 3 trees; then more can be planned."},
}};

double square(double v) { return v * v; }

double cost_of(const SamplePlan& plan, const SamplingCosts& costs) {
  return costs.tree * plan.trees + costs.photo * plan.photos + costs.oven * plan.oven;
}

/// Keeps the cheapest plan that settles and, apart, the most promising one.
class PlanSearch {
 public:
  PlanSearch(const PlanningState& state, const SamplingCosts& costs, double settle)
      : state_(state),
        costs_(costs),
        settle_(settle),
        variance_now_(planning_variance(state, state.trees, state.photographed, state.oven)) {}

  void consider(int trees, int photos, int oven) {
    SamplePlan plan{PlanOutcome::plan, trees, photos, oven, 0.0, {}, {}};
    plan.cost = cost_of(plan, costs_);
    const double variance = planning_variance(state_, state_.trees + trees,
                                              state_.photographed + photos, state_.oven + oven);
    plan.sd_after = state_.sd * std::sqrt(std::min(1.0, variance / variance_now_));
    plan.p_settle = chance_to_settle(state_.margin, state_.sd, *plan.sd_after, state_.confidence);
    if (!best_.p_settle || *plan.p_settle > *best_.p_settle) {
      best_ = plan;
    }
    if (*plan.p_settle >= settle_ && (!cheapest_.p_settle || plan.cost < cheapest_.cost)) {
      cheapest_ = plan;
    }
  }

  SamplePlan result() const {
    if (cheapest_.p_settle) {
      return cheapest_;
    }
    SamplePlan plan = best_;
    plan.outcome = PlanOutcome::cannot_settle;
    return plan;
  }

 private:
  const PlanningState& state_;
  const SamplingCosts& costs_;
  double settle_;
  double variance_now_;
  SamplePlan cheapest_;
  SamplePlan best_;
};

}  // namespace

std::string_view name(PlanOutcome outcome) {
  return kOutcome.at(static_cast<std::size_t>(outcome)).name;
}
std::string_view sentence(PlanOutcome outcome) {
  return kOutcome.at(static_cast<std::size_t>(outcome)).sentence;
}

double planning_variance(const PlanningState& state, int trees, int photographed, int oven) {
  if (trees < 1) {
    reject_argument("trees", trees, "at least 1");
  }
  if (photographed < 2) {
    reject_argument("photographed", photographed, "at least 2");
  }
  if (oven < 2) {
    reject_argument("oven", oven, "at least 2");
  }
  const double k = trees;
  const double n1 = photographed;
  const double n2 = oven;
  const double sigma_square = state.tree_variance + state.fruit_variance;
  const double shape = state.shape_tree_variance + state.shape_fruit_variance;
  const double between = state.tree_variance / sigma_square;
  const double free = n2 > k ? n2 / (1.0 + (n2 / k - 1.0) * between) : n2;
  const double of_spread =
      (square(sigma_square) / (2.0 * (free - 1.0)) + square(shape) / (2.0 * (n1 - 1.0))) /
      (sigma_square + shape);
  return (state.tree_variance + state.shape_tree_variance) / k + state.shape_fruit_variance / n1 +
         state.fruit_variance / n2 + square(state.share_z) * of_spread;
}

double chance_to_settle(double margin, double sd, double sd_after, double confidence) {
  const double reach = normal_quantile(confidence) * sd_after;
  const double movement = std::sqrt(std::max(0.0, square(sd) - square(sd_after)));
  if (movement == 0.0) {
    return std::abs(margin) >= reach ? 1.0 : 0.0;
  }
  return normal_cdf((margin - reach) / movement) + normal_cdf((-margin - reach) / movement);
}

void check_planning(const SamplingCosts& costs, double settle) {
  if (!(settle > 0.0 && settle < 1.0)) {
    reject_argument("settle", settle, "between 0 and 1");
  }
  const double least = std::min({costs.tree, costs.photo, costs.oven});
  if (!(least >= 0.0) || !(costs.tree + costs.photo + costs.oven > 0.0)) {
    reject_argument("costs", least, "none negative, not all 0");
  }
}

SamplePlan more_samples(const PlanningState& state, const SamplingCosts& costs, double settle) {
  check_planning(costs, settle);
  PlanSearch search(state, costs, settle);
  for (int oven = 1; oven <= state.photographed - state.oven; ++oven) {
    search.consider(0, 0, oven);
  }
  for (int trees = 1; trees <= kMostNewTrees; ++trees) {
    for (int per_tree = 1; per_tree <= kMostOvenPerTree; ++per_tree) {
      search.consider(trees, kPhotosPerTree * trees, per_tree * trees);
    }
  }
  return search.result();
}

PlanningState planning_state(const BlockEstimate& estimate) {
  const BlockRule& rule = estimate.rule;
  const bool by_mean = rule.kind == RuleKind::mean;
  const double shape = estimate.shape_variance.value_or(0.0);
  PlanningState state;
  state.tree_variance = estimate.tree_variance.value();
  state.fruit_variance = estimate.fruit_variance.value();
  state.shape_tree_variance = kShapeBetweenTrees * shape;
  state.shape_fruit_variance = (1.0 - kShapeBetweenTrees) * shape;
  state.trees = estimate.counts.phase_one_trees;
  state.photographed = estimate.counts.phase_one_fruit;
  state.oven = estimate.counts.oven_fruit;
  state.margin =
      (by_mean ? estimate.mean_dm_pct.value() : estimate.psi_mean.value()) - rule.minimum_dm_pct;
  state.sd = by_mean ? estimate.mean_dm_sd.value() : estimate.psi_sd.value();
  state.share_z = by_mean ? 0.0 : normal_quantile(rule.required_share);
  state.confidence = rule.confidence;
  return state;
}

SamplePlan more_samples(const BlockEstimate& estimate, const SamplingCosts& costs, double settle) {
  SamplePlan nothing;
  if (!estimate.psi_mean || estimate.counts.oven_fruit < kFewestOvenFruit ||
      estimate.counts.oven_trees < kFewestOvenTrees) {
    return nothing;
  }
  if (estimate.decision != Decision::sample_more) {
    nothing.outcome = PlanOutcome::settled;
    return nothing;
  }
  return more_samples(planning_state(estimate), costs, settle);
}

}  // namespace maturity
