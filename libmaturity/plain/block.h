#pragma once

#include <optional>
#include <string>
#include <vector>

namespace maturity::plain {

/// One sampled fruit of a block. Dry matter in per cent of fresh weight.
struct SampledFruit {
  std::string tree;
  /// Shape descriptors, the same ones in the same order for every fruit of the block; empty for a
  /// fruit without a usable photo.
  std::vector<double> shape;
  std::optional<double> oven_dm_pct;
  std::optional<double> meter_dm_pct;
};

/// The user's policy: at least `required_share` of the fruit at or above the minimum, with this
/// confidence. No minimum is built in. Ranges: see readiness/block_data.h.
struct Rule {
  double minimum_dm_pct = 0.0;
  double required_share = 0.9;
  double confidence = 0.9;
};

struct Range {
  double low = 0.0;
  double high = 0.0;
};

/// What is known of the block; empty where it cannot be told. Ranges are 95 %.
struct Estimate {
  std::optional<double> mean_dm_pct;
  std::optional<Range> mean_dm_range;
  /// 0..1.
  std::optional<double> share_mature;
  std::optional<Range> share_range;
  /// 0..100: so many in 100 chances that the rule is met.
  std::optional<double> readiness;
  /// "ready", "not_yet" or "sample_more"; it knows nothing of withholding and re-entry periods.
  std::string decision;
  /// Sentences.
  std::vector<std::string> reasons;
  std::vector<std::string> doubts;
};

/// The block estimate (method: docs/method/block-estimate-evidence.md). Throws
/// std::invalid_argument for values out of range or shapes of different lengths.
Estimate estimate_block(const std::vector<SampledFruit>& fruit, const Rule& rule);

}  // namespace maturity::plain
