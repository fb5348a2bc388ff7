#include "libmaturity/readiness/flowering_estimate.h"

#include <algorithm>
#include <cstddef>
#include <set>
#include <utility>

#include "libmaturity/readiness/decision.h"
#include "libmaturity/readiness/joined_figures.h"
#include "libmaturity/readiness/shared_trees.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

std::string counted(int number, const std::string& one, const std::string& several) {
  return std::to_string(number) + " " + (number == 1 ? one : several);
}

/// Place of each name; blank is -1.
std::vector<int> places(const std::string& what, const std::vector<std::string>& labels,
                        const std::vector<std::string>& names, bool blank_allowed) {
  std::vector<int> found;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const auto at = std::find(names.begin(), names.end(), labels[i]);
    if (at == names.end() && !(blank_allowed && labels[i].empty())) {
      std::string known;
      for (const std::string& name : names) {
        known += (known.empty() ? "" : ", ") + name;
      }
      reject_argument("flowering of " + what + " in row " + std::to_string(i + 1),
                      "'" + labels[i] + "'", "one of " + known);
    }
    found.push_back(at == names.end() ? -1 : static_cast<int>(at - names.begin()));
  }
  return found;
}

void check_names(const BlockData& data, const Flowerings& flowerings) {
  const std::set<std::string> names(flowerings.names.begin(), flowerings.names.end());
  if (flowerings.names.empty() || flowerings.names.size() > kMostFlowerings ||
      names.size() < flowerings.names.size() || names.contains("")) {
    reject_argument("names of flowerings", std::to_string(flowerings.names.size()) + " names",
                    "1 to " + std::to_string(kMostFlowerings) + ", none blank, none twice");
  }
  const auto check = [&](const char* what, std::size_t length) {
    if (length != data.tree.size()) {
      reject_argument(what, std::to_string(length) + " values",
                      std::to_string(data.tree.size()) + ", one for each fruit");
    }
  };
  check("flowering of fruit", flowerings.of_fruit.size());
  if (!flowerings.drawn_at_random.empty()) {
    check("drawn_at_random", flowerings.drawn_at_random.size());
  }
}

std::vector<double> some_of(const std::vector<double>& values, const std::vector<int>& rows) {
  std::vector<double> some;
  for (const int row : rows) {
    if (!values.empty()) {
      some.push_back(values[static_cast<std::size_t>(row)]);
    }
  }
  return some;
}

BlockData fruit_of(const BlockData& data, const std::vector<int>& rows) {
  BlockData some;
  some.shape =
      data.shape.rows() > 0 ? Eigen::MatrixXd(data.shape(rows, Eigen::all)) : Eigen::MatrixXd();
  some.oven = some_of(data.oven, rows);
  some.meter = some_of(data.meter, rows);
  for (const int row : rows) {
    some.tree.push_back(data.tree[static_cast<std::size_t>(row)]);
    if (!data.included.empty()) {
      some.included.push_back(data.included[static_cast<std::size_t>(row)]);
    }
  }
  for (const FurtherMeter& meter : data.further_meters) {
    some.further_meters.push_back({some_of(meter.dm_pct, rows), meter.sep_pct, meter.sep_n});
  }
  return some;
}

std::vector<std::string> what_lacks(const EstimatedBlock& block) {
  const BlockCounts& counts = block.estimate.counts;
  std::vector<std::string> lacks;
  for (const BlockReason why : block.blocks) {
    switch (why) {
      case BlockReason::no_dry_matter:
        lacks.emplace_back("has no fruit with dry matter");
        break;
      case BlockReason::no_oven_fruit:
      case BlockReason::few_oven_fruit:
        lacks.push_back("has " + counted(counts.oven_fruit, "oven fruit", "oven fruit") +
                        " of the " + std::to_string(kFewestOvenFruit) + " needed");
        break;
      case BlockReason::few_oven_trees:
        lacks.push_back("has oven fruit of " + counted(counts.oven_trees, "tree", "trees") +
                        " of the " + std::to_string(kFewestOvenTrees) + " needed");
        break;
      case BlockReason::one_tree:
        lacks.emplace_back("was sampled on one tree only");
        break;
      default:
        lacks.push_back("cannot be called ready: " + std::string(sentence(why)));
        break;
    }
  }
  return lacks;
}

std::optional<CropShares> shares_of(const BlockData& data, const Flowerings& flowerings,
                                    const std::vector<int>& of_fruit) {
  const auto groups = static_cast<int>(flowerings.names.size());
  if (!flowerings.of_tree.empty() || !flowerings.crop.empty()) {
    const auto of_tree = places("tree", flowerings.of_tree, flowerings.names, false);
    if (flowerings.of_block == 1.0) {
      return counted_crop_shares(of_tree, flowerings.crop, groups);
    }
    if (auto some =
            partly_counted_crop_shares(of_tree, flowerings.crop, groups, flowerings.of_block)) {
      return some;
    }
  }
  std::vector<int> group;
  std::vector<std::string> tree;
  for (std::size_t i = 0; i < of_fruit.size(); ++i) {
    if (of_fruit[i] >= 0 && (flowerings.drawn_at_random.empty() || flowerings.drawn_at_random[i])) {
      group.push_back(of_fruit[i]);
      tree.push_back(data.tree[i]);
    }
  }
  return sampled_crop_shares(group, tree, groups);
}

/// Flags of the whole that the flowerings answer give way to theirs.
void join_flags(const std::vector<EstimatedBlock>& groups, BlockEstimate& block) {
  auto& flags = block.flags;
  flags.erase(std::remove_if(flags.begin(), flags.end(),
                             [](BlockFlag flag) {
                               return flag == BlockFlag::left_skew || flag == BlockFlag::two_humps;
                             }),
              flags.end());
  for (const BlockFlag flag : {BlockFlag::left_skew, BlockFlag::two_humps}) {
    if (std::any_of(groups.begin(), groups.end(),
                    [&](const EstimatedBlock& group) { return has_flag(group.estimate, flag); })) {
      flags.push_back(flag);
    }
  }
  flags.push_back(BlockFlag::flowerings_apart);
}

void decide_anew(const std::vector<BlockReason>& blocks, bool lacking, BlockEstimate& block) {
  if (!block.readiness) {
    return;
  }
  const auto blocked_by = [&](BlockReason why) {
    return std::find(blocks.begin(), blocks.end(), why) != blocks.end();
  };
  DecisionInput input = decision_input(block, *block.readiness / 100.0);
  input.selection_not_corrected = blocked_by(BlockReason::selection_not_corrected);
  input.outside_calibration = blocked_by(BlockReason::outside_calibration_without_oven);
  input.flowering_blocked = lacking;
  settle(input, block);
}

}  // namespace

JoinedEstimate estimate_flowerings(const BlockData& data, const Flowerings& flowerings,
                                   const BlockRule& rule, const BlockOptions& options) {
  check_names(data, flowerings);
  const EstimatedBlock whole = estimate_with_posterior(data, rule, options);
  const std::vector<int> of_fruit = places("fruit", flowerings.of_fruit, flowerings.names, true);
  JoinedEstimate result;
  result.block = result.together = whole.estimate;
  const std::optional<CropShares> shares = shares_of(data, flowerings, of_fruit);
  const auto n = static_cast<int>(of_fruit.size());
  result.fruit_without_flowering =
      static_cast<int>(std::count(of_fruit.begin(), of_fruit.end(), -1));
  const int without = result.fruit_without_flowering;
  const bool few_without = without <= kMostWithoutFlowering * n;

  std::vector<BlockData> parts;
  std::vector<EstimatedBlock> groups;
  bool lacking = false;
  bool all_read = true;
  for (std::size_t g = 0; g < flowerings.names.size(); ++g) {
    std::vector<int> rows;
    for (int i = 0; i < n; ++i) {
      if (of_fruit[static_cast<std::size_t>(i)] == static_cast<int>(g)) {
        rows.push_back(i);
      }
    }
    parts.push_back(fruit_of(data, rows));
    if (rows.empty()) {
      EstimatedBlock& none = groups.emplace_back();
      none.estimate.rule = rule;
      none.estimate.reasons = none.blocks = {BlockReason::no_dry_matter};
    } else {
      groups.push_back(estimate_with_posterior(parts.back(), rule, options));
    }
    FloweringEstimate one{flowerings.names[g],      groups.back().estimate, {}, {}, {},
                          what_lacks(groups.back())};
    // Of the named ones only, they would be no shares of the crop.
    if (shares && few_without) {
      one.crop_share = shares->share[g];
      one.crop_share_sd = shares->sd(g);
      one.crop_share_interval = shares->interval[g];
    }
    const bool counts = !shares || shares->share[g] > 0.0;
    if (!counts && !rows.empty()) {
      // A ripe one may have been picked since; an unripe one that is not there is a slip.
      const bool ripe = one.estimate.decision == Decision::ready;
      lacking = lacking || !ripe;
      result.sentences.push_back(
          "Flowering " + one.name + " has no crop by the counts, though " +
          counted(static_cast<int>(rows.size()), "fruit", "fruit") + " of this visit " +
          (rows.size() == 1 ? "is" : "are") + " of it" +
          (ripe ? ": left out, as if picked since." : " and not ripe: count its trees."));
    }
    if (!counts && rows.empty()) {
      result.sentences.push_back("Flowering " + one.name +
                                 " has no crop by the counts: left out, as if picked since.");
    }
    for (const std::string& what : one.lacks) {
      if (counts) {
        lacking = true;
        result.sentences.push_back("Flowering " + one.name + " " + what + ".");
      }
    }
    all_read = all_read && (!counts || !groups.back().nodes.empty());
    for (std::size_t r = 0; r < rows.size() && !groups.back().nodes.empty(); ++r) {
      result.block.fruit[static_cast<std::size_t>(rows[r])] = one.estimate.fruit[r];
    }
    result.flowerings.push_back(std::move(one));
  }

  if (without > 0) {
    result.sentences.push_back(
        std::to_string(without) + " of " + counted(n, "fruit", "fruit") +
        (without == 1 ? " has" : " have") + " no flowering" +
        (few_without
             ? " and " + std::string(without == 1 ? "is" : "are") + " left out of the flowerings."
             : ", in fruit.csv or trees.csv: more than 1 in 20, so the flowerings are not "
               "joined."));
  }
  if (!shares) {
    result.sentences.push_back(
        "The shares of the crop are not known (fewer than " + std::to_string(kFewestShareTrees) +
        " trees with fruit drawn at random): count or guess the crop of every tree, in trees.csv.");
  } else if (few_without) {
    result.crop_share_source = shares->source;
  }
  result.joined = shares && all_read && few_without;
  if (result.joined) {
    join_groups(groups, *shares, shared_trees(parts, groups), result.block);
    join_flags(groups, result.block);
  }
  decide_anew(whole.blocks, lacking || !result.joined, result.block);
  return result;
}

}  // namespace maturity
