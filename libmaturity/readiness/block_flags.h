#pragma once

#include <string_view>
#include <vector>

namespace maturity {

/// What a block estimate says about the rule.
enum class Decision { ready, not_yet, sample_more };

/// What is doubtful or particular about a block estimate.
enum class BlockFlag {
  no_dry_matter,
  meter_bias_not_checked,
  planning_guess_dominates,
  one_tree,
  no_shape,
  shape_switched_off,
  shape_needs_more_readings,
  shape_refused,
  photos_missing,
  fruit_without_photo_left_out,
  incomplete_shape,
  constant_descriptor,
  added_fruit_without_shape,
  picked_on_purpose,
  oven_fruit_differ_in_shape,
  oven_fruit_differ_by_meter,
  corrected_by_meter,
  shape_adds_nothing,
  outside_calibration,
  spread_outside_range,
  left_skew,
  two_humps,
  flowerings_apart
};

/// Why the decision is what it is.
enum class BlockReason {
  rule_met,
  rule_not_met,
  not_settled,
  no_dry_matter,
  no_oven_fruit,
  few_oven_fruit,
  few_oven_trees,
  one_tree,
  selection_not_corrected,
  outside_calibration_without_oven,
  left_skew,
  flowering_blocked
};

/// Names used in results, for instance "sample_more", "left_skew".
std::string_view name(Decision decision);
std::string_view name(BlockFlag flag);
std::string_view name(BlockReason reason);

/// One plain sentence: what it means and what to do about it.
std::string_view sentence(BlockFlag flag);
std::string_view sentence(BlockReason reason);

/// Every flag and reason, in the order of the enumerations (for tables and documentation).
std::vector<BlockFlag> all_block_flags();
std::vector<BlockReason> all_block_reasons();

}  // namespace maturity
