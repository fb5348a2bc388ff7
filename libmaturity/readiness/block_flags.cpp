#include "libmaturity/readiness/block_flags.h"
#include "libmaturity/readiness/named_text.h"

#include <array>
#include <cstddef>

namespace maturity {

namespace {

constexpr std::array<std::string_view, 3> kDecision{"ready", "not_yet", "sample_more"};

constexpr std::array<NamedText, 23> kFlag{{
    {"no_dry_matter",
     "No fruit has dry matter: shape alone never gives it. Put some fruit in the oven."},
    {"meter_bias_not_checked",
     "Only the meter was read, so its bias in this block is unknown: oven-dry some of these "
     "fruit."},
    {"planning_guess_dominates",
     "Fewer than 5 oven fruit or 3 oven trees: the spread rests mostly on a planning guess."},
    {"one_tree",
     "All fruit come from one tree, which cannot stand for a block: sample more trees."},
    {"no_shape", "No usable shapes were given, so dry matter alone is used."},
    {"shape_switched_off", "Shape was switched off by the settings; dry matter alone is used."},
    {"shape_needs_more_readings",
     "Fewer than 15 fruit have dry matter, so shape is left out: it would only widen the result."},
    {"shape_refused",
     "Shape is left out: more than 8 descriptors, or too few photographed fruit for their number."},
    {"photos_missing",
     "Over 20 % of the fruit with dry matter have no usable photo, so shape is left out."},
    {"fruit_without_photo_left_out",
     "Some fruit without a usable photo were left out, because shape is used."},
    {"incomplete_shape",
     "Some fruit have a descriptor missing; they are treated as not photographed."},
    {"constant_descriptor", "A descriptor is the same on every fruit and was dropped."},
    {"added_fruit_without_shape",
     "Fruit added on purpose count like random ones here, because shape is not used."},
    {"picked_on_purpose",
     "The oven fruit were picked on purpose (declared): slopes are left free, results are wider."},
    {"oven_fruit_differ_in_shape",
     "The oven fruit differ in shape from the rest by more than chance: treated as picked."},
    {"oven_fruit_differ_by_meter",
     "The meter reads oven fruit differently from the rest by more than chance: treated as "
     "picked."},
    {"corrected_by_meter",
     "The difference between oven fruit and the rest is estimated from the meter readings."},
    {"shape_adds_nothing",
     "Shape adds no usable information here; unmeasured fruit are about the block average."},
    {"outside_calibration",
     "The shapes of this block lie outside what the calibration saw: it was not used."},
    {"spread_outside_range",
     "The spread of dry matter is outside the model's range (0.3 to 4.8 %): check the readings."},
    {"left_skew",
     "Dry matter has a long tail to the low side, or falls away from its line on shape: the share "
     "of mature fruit may be overstated."},
    {"two_humps",
     "Dry matter falls into two groups by more than chance: two flowerings, or two places."},
    {"flowerings_apart",
     "The flowerings that the tables name were estimated apart and joined by their shares of the "
     "crop."},
}};

constexpr std::array<NamedText, 12> kReason{{
    {"rule_met", "The chance that the rule is met reaches the confidence asked for."},
    {"rule_not_met", "The chance that the rule is missed reaches the confidence asked for."},
    {"not_settled", "The sample does not settle it either way at the confidence asked for."},
    {"no_dry_matter", "There is no dry matter: put some fruit in the oven."},
    {"no_oven_fruit",
     "The meter's bias was not checked: never ready by meter alone. Oven-dry at least 5 fruit."},
    {"few_oven_fruit", "Fewer than 5 oven fruit: too few to call a block ready."},
    {"few_oven_trees", "Fewer than 3 trees with oven fruit: too few to call a block ready."},
    {"one_tree", "One tree cannot stand for a block."},
    {"selection_not_corrected",
     "Oven fruit were picked on purpose and no other fruit was metered to put that right."},
    {"outside_calibration_without_oven",
     "Shapes lie outside the calibration and no oven fruit checks them."},
    {"left_skew",
     "Dry matter has a long tail to the low side, or falls away from its line on shape, so 5 more "
     "points of confidence are asked for."},
    {"flowering_blocked",
     "A flowering that the tables name lacks what it needs: too little to call the block ready."},
}};

}  // namespace

std::string_view name(Decision decision) {
  return kDecision.at(static_cast<std::size_t>(decision));
}
std::string_view name(BlockFlag flag) { return kFlag.at(static_cast<std::size_t>(flag)).name; }
std::string_view name(BlockReason reason) {
  return kReason.at(static_cast<std::size_t>(reason)).name;
}
std::string_view sentence(BlockFlag flag) {
  return kFlag.at(static_cast<std::size_t>(flag)).sentence;
}
std::string_view sentence(BlockReason reason) {
  return kReason.at(static_cast<std::size_t>(reason)).sentence;
}

std::vector<BlockFlag> all_block_flags() {
  std::vector<BlockFlag> all;
  for (std::size_t i = 0; i < kFlag.size(); ++i) {
    all.push_back(static_cast<BlockFlag>(i));
  }
  return all;
}

std::vector<BlockReason> all_block_reasons() {
  std::vector<BlockReason> all;
  for (std::size_t i = 0; i < kReason.size(); ++i) {
    all.push_back(static_cast<BlockReason>(i));
  }
  return all;
}

}  // namespace maturity
