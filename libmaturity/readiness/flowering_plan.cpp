#include "libmaturity/readiness/flowering_plan.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <string>
#include <utility>

#include "libmaturity/readiness/decision.h"
#include "libmaturity/readiness/flowering_parts.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

/// So that a step that costs nothing is the best, not a division by 0.
constexpr double kLeastCost = 1e-9;

/// Trees of one flowering, added on purpose, leave the shares of the crop as they are.
bool may_draw_apart(const JoinedEstimate& joined) {
  return joined.crop_share_source == CropShareSource::counted ||
         joined.crop_share_source == CropShareSource::given;
}

double cost_of(const FloweringAddition& add, const SamplingCosts& costs) {
  return costs.tree * add.trees + costs.photo * add.photos + costs.oven * add.oven;
}

/// Adds to a plan until it settles.
class FloweringSearch {
 public:
  FloweringSearch(const JoinedEstimate& joined, const SamplingCosts& costs, double settle,
                  const std::vector<int>& trees_left)
      : joined_(joined),
        costs_(costs),
        settle_(settle),
        trees_left_(trees_left),
        parts_(flowering_parts(joined)) {
    nothing_.drawn_apart = may_draw_apart(joined);
    const double total = parts_.total();
    for (std::size_t g = 0; g < joined.flowerings.size(); ++g) {
      nothing_.flowerings.push_back(
          {joined.flowerings[g].name, 0, 0, 0, parts_.of_flowering[g].variance / total});
    }
    nothing_.crop_share_part = parts_.crop_shares / total;
  }

  FloweringPlan run() const {
    FloweringPlan stepwise = by_steps();
    if (nothing_.drawn_apart || most_random_trees() < 1) {
      return stepwise;
    }
    FloweringPlan random = by_random_trees();
    const auto settles = [](const FloweringPlan& plan) {
      return plan.block.outcome == PlanOutcome::plan;
    };
    if (settles(random) != settles(stepwise)) {
      return settles(random) ? random : stepwise;
    }
    const bool first = settles(random) ? random.block.cost < stepwise.block.cost
                                       : random.block.p_settle > stepwise.block.p_settle;
    return first ? random : stepwise;
  }

 private:
  int most_random_trees() const {
    return trees_left_.empty() ? kMostNewTrees
                               : std::min(kMostNewTrees, std::accumulate(trees_left_.begin(),
                                                                         trees_left_.end(), 0));
  }

  bool has_tree_left(std::size_t g, const FloweringAddition& add) const {
    return trees_left_.empty() || add.trees < trees_left_[g];
  }

  /// A flowering's part of the variance once that is added.
  double after(std::size_t g, const FloweringAddition& add) const {
    return parts_.of_flowering[g].after(add.trees, add.photos, add.oven);
  }

  /// Sums, chance and outcome of a plan; `crop_shares` is the variance that these then have.
  void judge(double crop_shares, FloweringPlan& plan) const {
    double variance = crop_shares;
    for (std::size_t g = 0; g < plan.flowerings.size(); ++g) {
      variance += after(g, plan.flowerings[g]);
    }
    const BlockEstimate& block = joined_.block;
    const bool by_mean = block.rule.kind == RuleKind::mean;
    const double sd = by_mean ? block.mean_dm_sd.value() : block.psi_sd.value();
    const double level = by_mean ? block.mean_dm_pct.value() : block.psi_mean.value();
    plan.block.sd_after = sd * std::sqrt(std::min(1.0, variance / parts_.total()));
    plan.block.p_settle = chance_to_settle(level - block.rule.minimum_dm_pct, sd,
                                           *plan.block.sd_after, block.rule.confidence);
    plan.block.outcome =
        *plan.block.p_settle >= settle_ ? PlanOutcome::plan : PlanOutcome::cannot_settle;
  }

  void sum_up(FloweringPlan& plan) const {
    plan.block.trees = plan.block.photos = plan.block.oven = 0;
    for (const FloweringAddition& add : plan.flowerings) {
      plan.block.trees += add.trees;
      plan.block.photos += add.photos;
      plan.block.oven += add.oven;
    }
    plan.block.cost =
        cost_of({"", plan.block.trees, plan.block.photos, plan.block.oven, {}}, costs_);
  }

  /// The step that takes most off the variance for its cost; empty where none takes anything off.
  std::optional<std::pair<std::size_t, FloweringAddition>> best_step(
      const FloweringPlan& plan) const {
    std::optional<std::pair<std::size_t, FloweringAddition>> best;
    double best_gain = 0.0;
    const auto consider = [&](std::size_t g, int trees, int photos, int oven) {
      FloweringAddition add = plan.flowerings[g];
      const double before = after(g, add);
      const double cost = cost_of({"", trees, photos, oven, {}}, costs_);
      add.trees += trees;
      add.photos += photos;
      add.oven += oven;
      const double gain = (before - after(g, add)) / std::max(cost, kLeastCost);
      if (gain > best_gain) {
        best_gain = gain;
        best = {g, add};
      }
    };
    for (std::size_t g = 0; g < plan.flowerings.size(); ++g) {
      const FloweringPart& part = parts_.of_flowering[g];
      const FloweringAddition& add = plan.flowerings[g];
      if (part.variance == 0.0) {
        continue;
      }
      if (part.state.oven + add.oven < part.state.photographed + add.photos) {
        consider(g, 0, 0, 1);
      }
      if (!nothing_.drawn_apart) {
        continue;
      }
      const bool tree_left = has_tree_left(g, add);
      if (!tree_left &&
          part.state.oven + add.oven < kMostOvenPerTree * (part.state.trees + add.trees)) {
        consider(g, 0, 1, 1);
      }
      for (int oven = 1; tree_left && plan.block.trees < kMostNewTrees && oven <= kMostOvenPerTree;
           ++oven) {
        consider(g, 1, kPhotosPerTree, oven);
      }
    }
    return best;
  }

  FloweringPlan by_steps() const {
    FloweringPlan plan = nothing_;
    judge(parts_.crop_shares, plan);
    // As it is it does not settle, even where the normal curve says so.
    plan.block.outcome = PlanOutcome::cannot_settle;
    plan.block.p_settle = 0.0;
    while (plan.block.outcome != PlanOutcome::plan) {
      const auto step = best_step(plan);
      if (!step) {
        break;
      }
      plan.flowerings[step->first] = step->second;
      sum_up(plan);
      judge(parts_.crop_shares, plan);
    }
    return plan;
  }

  /// `trees` new trees of the whole block: each flowering gets what it had so far.
  FloweringPlan with_trees(int trees, int oven_per_tree) const {
    const auto part_of = [](int number, int some, int all) {
      return static_cast<int>(std::lround(static_cast<double>(number) * some / all));
    };
    FloweringPlan plan = nothing_;
    int all_fruit = 0;
    for (const FloweringEstimate& one : joined_.flowerings) {
      all_fruit += one.estimate.counts.fruit;
    }
    for (std::size_t g = 0; g < plan.flowerings.size(); ++g) {
      const BlockCounts& had = joined_.flowerings[g].estimate.counts;
      FloweringAddition& add = plan.flowerings[g];
      add.trees = part_of(trees, had.trees, joined_.together.counts.trees);
      add.photos = part_of(kPhotosPerTree * trees, had.fruit, all_fruit);
      add.oven = part_of(oven_per_tree * trees, had.fruit, all_fruit);
    }
    plan.block.trees = trees;
    plan.block.photos = kPhotosPerTree * trees;
    plan.block.oven = oven_per_tree * trees;
    plan.block.cost = cost_of({"", trees, plan.block.photos, plan.block.oven, {}}, costs_);
    const double had = joined_.together.counts.trees;
    judge(parts_.crop_shares * had / (had + trees), plan);
    return plan;
  }

  FloweringPlan by_random_trees() const {
    std::optional<FloweringPlan> cheapest;
    FloweringPlan best = with_trees(1, 1);
    for (int trees = 1; trees <= most_random_trees(); ++trees) {
      for (int oven = 1; oven <= kMostOvenPerTree; ++oven) {
        const FloweringPlan plan = with_trees(trees, oven);
        if (plan.block.p_settle > best.block.p_settle) {
          best = plan;
        }
        if (plan.block.outcome == PlanOutcome::plan &&
            (!cheapest || plan.block.cost < cheapest->block.cost)) {
          cheapest = plan;
        }
      }
    }
    return cheapest.value_or(best);
  }

  const JoinedEstimate& joined_;
  const SamplingCosts& costs_;
  double settle_;
  const std::vector<int>& trees_left_;
  FloweringParts parts_;
  FloweringPlan nothing_;
};

/// The oven fruit and trees that each flowering needs before more can be planned.
FloweringPlan what_lacks(const JoinedEstimate& joined) {
  FloweringPlan plan;
  plan.drawn_apart = may_draw_apart(joined);
  for (const FloweringEstimate& one : joined.flowerings) {
    const BlockCounts& counts = one.estimate.counts;
    FloweringAddition& add = plan.flowerings.emplace_back();
    add.name = one.name;
    if (one.crop_share != 0.0) {
      add.trees = std::max(0, kFewestOvenTrees - counts.oven_trees);
      add.oven = std::max(add.trees, kFewestOvenFruit - counts.oven_fruit);
    }
    plan.block.trees += add.trees;
    plan.block.oven += add.oven;
  }
  return plan;
}

}  // namespace

FloweringPlan more_samples(const JoinedEstimate& joined, const SamplingCosts& costs, double settle,
                           const std::vector<int>& trees_left) {
  check_planning(costs, settle);
  if (!trees_left.empty() && trees_left.size() != joined.flowerings.size()) {
    reject_argument("trees_left", std::to_string(trees_left.size()) + " values",
                    "one for each of " + std::to_string(joined.flowerings.size()) + " flowerings");
  }
  for (const int one : trees_left) {
    if (one < 0) {
      reject_argument("trees_left", one, "at least 0");
    }
  }
  FloweringPlan plan = what_lacks(joined);
  if (joined.block.decision != Decision::sample_more) {
    FloweringPlan settled;
    settled.block.outcome = PlanOutcome::settled;
    return settled;
  }
  if (!joined.joined || plan.block.oven > 0) {
    return plan;
  }
  return FloweringSearch(joined, costs, settle, trees_left).run();
}

}  // namespace maturity
