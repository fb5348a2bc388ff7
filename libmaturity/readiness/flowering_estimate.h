#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/crop_share.h"

namespace maturity {

/// More names than this are no flowerings.
inline constexpr std::size_t kMostFlowerings = 12;

/// Which flowering each fruit of a block is of, and what is known of their shares of the crop.
struct Flowerings {
  /// Every flowering that the block is known to have, up to kMostFlowerings, in the order of the
  /// results. One alone makes sense where other fruit have no name.
  std::vector<std::string> names;
  /// Of each fruit (n), one of `names`; blank: not known.
  std::vector<std::string> of_fruit;
  /// Drawn at random (n), for the shares; empty: all were.
  std::vector<bool> drawn_at_random = {};
  /// Flowering and fruit of every tree of the block, or both empty: not counted.
  std::vector<std::string> of_tree = {};
  std::vector<double> crop = {};
  /// Share of the block's trees that these are: 1 all; less, drawn at random; 0, not known how few.
  double of_block = 1.0;
};

/// One flowering, estimated on its own fruit alone.
struct FloweringEstimate {
  std::string name;
  /// A row of fruit for each of its own fruit, in the order of the block.
  BlockEstimate estimate;
  /// Its part of the crop, 0..1, with 95 % interval; empty where no source tells it, or too many
  /// fruit have no flowering.
  std::optional<double> crop_share;
  std::optional<double> crop_share_sd;
  std::optional<Interval> crop_share_interval;
  /// What it lacks; empty where nothing.
  std::vector<std::string> lacks;
};

/// A block whose flowerings are known.
struct JoinedEstimate {
  /// The block: the flowerings joined where all have readings and their shares are known, else all
  /// fruit together. Never "ready" where a flowering lacks what a block would need (reason
  /// flowering_blocked). Fruit, slopes and variances: fruit by flowering, the rest of all together.
  BlockEstimate block;
  /// All fruit together, whatever their flowering.
  BlockEstimate together;
  /// False: `block` has the figures of all fruit together.
  bool joined = false;
  std::vector<FloweringEstimate> flowerings;
  std::optional<CropShareSource> crop_share_source;
  /// Why it could not be joined, or not be called ready, and what was left out, in sentences.
  std::vector<std::string> sentences;
  int fruit_without_flowering = 0;
};

/// So many fruit without a flowering, as a share of all, are left out of the flowerings: left out
/// at random or not, they move the block's share by no more than this. More, and nothing is joined.
inline constexpr double kMostWithoutFlowering = 0.05;

/// Estimates each flowering on its own fruit by estimate_block, and joins them by their shares of
/// the crop: counted on the trees, else from the fruit drawn at random (crop_share.h). Flowerings
/// that share trees share tree effects: their means are correlated by what the trees in common
/// make of both (a common meter's bias is estimated in each apart and not shared).
///
/// A flowering whose counted crop is 0 counts for nothing; where its own fruit of this visit are
/// not ready, that keeps "ready" back.
///
/// Throws std::invalid_argument as estimate_block does, and for no name or more
/// than 12 names, blank or repeated ones, a fruit or tree of another name, lengths that differ, and
/// a crop that is negative or 0 on every tree, of_block outside 0..1.
JoinedEstimate estimate_flowerings(const BlockData& data, const Flowerings& flowerings,
                                   const BlockRule& rule, const BlockOptions& options = {});

}  // namespace maturity
