// Whatever the readings, every probability and share of a block estimate is one: within 0 and 1.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/readiness/cross_checks.h"
#include "libmaturity/stats/random_stream.h"
#include "tests/readiness/block_cases.h"
#include "tests/sanitized.h"

namespace maturity {
namespace {

/// Between 0 and `most`, both included; an empty value is no number and claims nothing.
void expect_within(const std::optional<double>& value, double most, const std::string& what) {
  if (value) {
    EXPECT_GE(*value, 0.0) << what;
    EXPECT_LE(*value, most) << what;
  }
}

/// An invented block of 1 to 8 trees, any mixture of readings, far from or near the minimum.
BlockData drawn_block(RandomStream& random) {
  const auto trees = 1 + random.below(8);
  const auto shapes = static_cast<Eigen::Index>(random.below(3));
  const double level = 6.0 + 30.0 * random.uniform();
  const double spread = std::pow(10.0, -2.0 + 2.3 * random.uniform());
  const auto bounded = [](double value) { return std::min(39.9, std::max(3.1, value)); };
  std::vector<cases::Row> rows;
  for (std::size_t t = 0; t < trees; ++t) {
    const auto fruit = 1 + random.below(4);
    for (std::size_t f = 0; f < fruit; ++f) {
      cases::Row row{static_cast<int>(t), {}, cases::kMissing, cases::kMissing};
      const double truth = level + spread * (4.0 * random.uniform() - 2.0);
      for (Eigen::Index j = 0; j < shapes; ++j) {
        row.shape.push_back(random.uniform() - 0.5);
      }
      const double kind = random.uniform();
      row.oven = kind < 0.6 ? bounded(truth) : cases::kMissing;
      row.meter = kind > 0.4 ? bounded(truth + 3.0 * random.uniform() - 1.5) : cases::kMissing;
      rows.push_back(row);
    }
  }
  return cases::block_of(rows);
}

TEST(ProbabilityBounds, HoldForManyDrawnBlocks) {
  const int draws = kSanitized ? 20 : 400;
  RandomStream random(20261125);
  constexpr std::array<double, 4> kMinimum{4.0, 15.0, 22.0, 38.0};
  for (int i = 0; i < draws; ++i) {
    const BlockData data = drawn_block(random);
    BlockRule rule = cases::rule();
    rule.minimum_dm_pct = kMinimum.at(random.below(kMinimum.size()));
    rule.kind = random.uniform() < 0.5 ? RuleKind::mean : RuleKind::share;
    BlockOptions options;
    options.use_shape = random.uniform() < 0.5 ? UseShape::on : UseShape::automatic;
    options.picked_on_purpose = random.uniform() < 0.2;
    const BlockEstimate block = estimate_block(data, rule, options);
    const std::string which = "draw " + std::to_string(i);
    expect_within(block.readiness, 100.0, which + ": readiness");
    expect_within(block.share_mature, 1.0, which + ": share");
    expect_within(block.p_noshape, 1.0, which + ": p_noshape");
    expect_within(block.shape_r_squared, 1.0, which + ": R squared");
    expect_within(block.p_selection_by_shape, 1.0, which + ": P by shape");
    expect_within(block.p_selection_by_meter, 1.0, which + ": P by meter");
    for (const auto& interval : {block.share_interval, block.share_interval_80}) {
      if (interval) {
        EXPECT_LE(0.0, interval->low) << which;
        EXPECT_LE(interval->low, block.share_mature.value() + 1e-9) << which;
        EXPECT_LE(block.share_mature.value(), interval->high + 1e-9) << which;
        EXPECT_LE(interval->high, 1.0) << which;
      }
    }
    expect_within(cross_check(data, options, block).plain_readiness, 100.0, which + ": plain t");
  }
}

// Weights that sum to 1 within rounding only: what once gave a readiness of -2e-16.
TEST(ProbabilityBounds, RoundingOfWeightsDoesNotLeakOut) {
  std::vector<GridNode> nodes;
  double total = 0.0;
  for (int i = 1; i <= 3000; ++i) {
    GridNode node;
    node.weight = 1.0 / i;
    total += node.weight;
    node.level = 12.0;
    node.level_var = 1e-4;
    node.spread = 0.1;
    node.spread_square = 0.01;
    nodes.push_back(node);
  }
  for (GridNode& node : nodes) {
    node.weight /= total;
  }
  double sum = 0.0;
  for (const GridNode& node : nodes) {
    sum += node.weight;
  }
  ASSERT_NE(sum, 1.0) << "the weights of this case must miss 1, or it shows nothing";
  const BlockMixture below(nodes, 20.0);
  EXPECT_GE(below.mean_reaches_minimum(), 0.0);
  EXPECT_LE(below.mean_reaches_minimum(), 1e-12);
  const BlockMixture above(nodes, 5.0);
  EXPECT_LE(above.mean_reaches_minimum(), 1.0);
  EXPECT_GE(above.mean_reaches_minimum(), 1.0 - 1e-12);
  EXPECT_LE(above.share_at_least(0.0), 1.0);
  EXPECT_GE(below.share_at_least(0.0), 0.0);
}

// A chance too small for 1 less the rest is kept: normal tail at -9 is 1.1286e-19 (from memory,
// and erfc).
TEST(ProbabilityBounds, SmallChancesAreNotRoundedAway) {
  GridNode node;
  node.weight = 1.0;
  node.level = 15.0;
  node.level_var = 1.0;
  node.spread = 1.0;
  node.spread_square = 1.0;
  EXPECT_NEAR(BlockMixture({node}, 24.0).mean_reaches_minimum(), 1.1286e-19, 1e-23);
}

}  // namespace
}  // namespace maturity
