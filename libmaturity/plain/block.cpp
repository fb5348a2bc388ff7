#include "libmaturity/plain/block.h"

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "libmaturity/readiness/block_estimate.h"

namespace maturity::plain {

namespace {

constexpr double kMissing = std::numeric_limits<double>::quiet_NaN();

std::optional<Range> range(const std::optional<Interval>& interval) {
  return interval ? std::optional<Range>({interval->low, interval->high}) : std::nullopt;
}

template <typename State>
std::vector<std::string> sentences(const std::vector<State>& states) {
  std::vector<std::string> texts;
  texts.reserve(states.size());
  for (const State state : states) {
    texts.emplace_back(sentence(state));
  }
  return texts;
}

BlockData block_data(const std::vector<SampledFruit>& fruit) {
  std::size_t descriptors = 0;
  for (const auto& one : fruit) {
    descriptors = std::max(descriptors, one.shape.size());
  }
  BlockData data;
  const auto rows = static_cast<Eigen::Index>(fruit.size());
  data.shape.setConstant(rows, static_cast<Eigen::Index>(descriptors), kMissing);
  for (std::size_t row = 0; row < fruit.size(); ++row) {
    const auto& one = fruit[row];
    if (!one.shape.empty() && one.shape.size() != descriptors) {
      throw std::invalid_argument("shape: fruit " + std::to_string(row) + " has " +
                                  std::to_string(one.shape.size()) + " descriptors, others " +
                                  std::to_string(descriptors));
    }
    for (std::size_t i = 0; i < one.shape.size(); ++i) {
      data.shape(static_cast<Eigen::Index>(row), static_cast<Eigen::Index>(i)) = one.shape[i];
    }
    data.tree.push_back(one.tree);
    data.oven.push_back(one.oven_dm_pct.value_or(kMissing));
    data.meter.push_back(one.meter_dm_pct.value_or(kMissing));
  }
  return data;
}

}  // namespace

Estimate estimate_block(const std::vector<SampledFruit>& fruit, const Rule& rule) {
  BlockRule asked;
  asked.minimum_dm_pct = rule.minimum_dm_pct;
  asked.required_share = rule.required_share;
  asked.confidence = rule.confidence;
  const BlockEstimate found = maturity::estimate_block(block_data(fruit), asked);
  Estimate estimate;
  estimate.mean_dm_pct = found.mean_dm_pct;
  estimate.mean_dm_range = range(found.mean_dm_interval);
  estimate.share_mature = found.share_mature;
  estimate.share_range = range(found.share_interval);
  estimate.readiness = found.readiness;
  estimate.decision = name(found.decision);
  estimate.reasons = sentences(found.reasons);
  estimate.doubts = sentences(found.flags);
  return estimate;
}

}  // namespace maturity::plain
