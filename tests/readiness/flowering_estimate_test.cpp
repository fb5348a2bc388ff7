#include "libmaturity/readiness/flowering_estimate.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;

/// 12 trees, the odd ones of a later flowering `behind` the others; two oven fruit of each.
struct Orchard {
  BlockData data;
  Flowerings flowerings;
};

Orchard orchard(double behind, int trees = 12) {
  constexpr std::array<double, 6> kOff{0.3, -0.7, 0.9, -0.2, 0.5, -0.8};
  Orchard made;
  made.flowerings.names = {"1", "2"};
  for (int i = 0; i < 2 * trees; ++i) {
    const int tree = i / 2;
    const bool late = tree % 2 == 1;
    made.data.tree.push_back("t" + std::to_string(tree));
    made.data.oven.push_back(18.0 + kOff.at(static_cast<std::size_t>((i + tree) % 6)) -
                             (late ? behind : 0.0));
    made.flowerings.of_fruit.emplace_back(late ? "2" : "1");
  }
  return made;
}

TEST(FloweringEstimate, EachIsTheEstimateOfItsOwnFruit) {
  const Orchard made = orchard(3.0);
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  BlockData late;
  for (std::size_t i = 0; i < made.data.tree.size(); ++i) {
    if (made.flowerings.of_fruit[i] == "2") {
      late.tree.push_back(made.data.tree[i]);
      late.oven.push_back(made.data.oven[i]);
    }
  }
  const BlockEstimate alone = estimate_block(late, cases::rule());
  const BlockEstimate together = estimate_block(made.data, cases::rule());
  EXPECT_EQ(result.flowerings[1].estimate.readiness, alone.readiness);
  EXPECT_EQ(result.flowerings[1].estimate.fruit.size(), 12U);
  EXPECT_EQ(result.together.readiness, together.readiness);
  ASSERT_TRUE(result.joined);
  EXPECT_EQ(result.crop_share_source, CropShareSource::sampled);
  EXPECT_NEAR(*result.flowerings[0].crop_share, 0.5, 1e-9);
  EXPECT_NEAR(*result.block.mean_dm_pct, *together.mean_dm_pct, 0.05);
  EXPECT_THAT(result.block.flags, Contains(BlockFlag::flowerings_apart));
  EXPECT_THAT(result.sentences, IsEmpty());
  // A fruit's own value is that of its flowering.
  EXPECT_EQ(result.block.fruit[2].mean_dm_pct, alone.fruit[0].mean_dm_pct);
}

// Counted trees speak for the crop, not for the fruit drawn: 9 in 10 of it is the early one.
TEST(FloweringEstimate, CountedTreesComeFirst) {
  Orchard made = orchard(3.0);
  made.flowerings.of_tree = {"1", "2"};
  made.flowerings.crop = {900.0, 100.0};
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_EQ(result.crop_share_source, CropShareSource::counted);
  EXPECT_NEAR(*result.flowerings[1].crop_share, 0.1, 1e-6);
  EXPECT_GT(*result.block.mean_dm_pct, *result.together.mean_dm_pct + 0.8);
  made.flowerings.crop = {900.0, 0.0};
  const JoinedEstimate one = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_EQ(one.block.readiness, one.flowerings[0].estimate.readiness);
  EXPECT_EQ(one.block.reasons.front(), BlockReason::flowering_blocked);
  EXPECT_THAT(one.sentences, ElementsAre(HasSubstr("not ripe: count its trees")));
  // A ripe one may have been picked, and its trees counted since.
  made.flowerings.crop = {0.0, 900.0};
  const JoinedEstimate other = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_EQ(other.block.readiness, other.flowerings[1].estimate.readiness);
  EXPECT_EQ(other.block.decision, other.flowerings[1].estimate.decision);
  EXPECT_THAT(other.sentences, ElementsAre(HasSubstr("left out, as if picked since")));
}

// Only the late trees were marked: the others are of no flowering that has a name.
TEST(FloweringEstimate, OneNameBesideFruitWithoutAnyBlocks) {
  Orchard made = orchard(0.0);
  made.flowerings.names = {"2"};
  for (std::string& one : made.flowerings.of_fruit) {
    one = one == "2" ? one : "";
  }
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_EQ(result.together.decision, Decision::ready);
  EXPECT_EQ(result.block.decision, Decision::sample_more);
  EXPECT_FALSE(result.joined || result.crop_share_source || result.flowerings[0].crop_share);
  EXPECT_THAT(result.sentences, ElementsAre(HasSubstr("12 of 24 fruit have no flowering")));
}

TEST(FloweringEstimate, AFloweringWithFewReadingsBlocks) {
  Orchard made = orchard(0.0);
  for (std::size_t i = 0; i < made.data.oven.size(); ++i) {
    if (made.flowerings.of_fruit[i] == "2" && i > 6) {
      made.data.oven[i] = cases::kMissing;
    }
  }
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_TRUE(result.joined);
  EXPECT_EQ(result.together.decision, Decision::ready);
  EXPECT_EQ(result.block.decision, Decision::sample_more);
  EXPECT_GT(*result.block.readiness, 90.0);
  EXPECT_THAT(result.block.reasons, ElementsAre(BlockReason::flowering_blocked));
  EXPECT_THAT(result.sentences,
              ElementsAre("Flowering 2 has 3 oven fruit of the 5 needed.",
                          "Flowering 2 has oven fruit of 2 trees of the 3 needed."));
  // Its own part alone may be picked.
  EXPECT_EQ(result.flowerings[0].estimate.decision, Decision::ready);
}

TEST(FloweringEstimate, AFloweringThatWasNotSampledBlocks) {
  Orchard made = orchard(0.0);
  made.flowerings.names = {"1", "2", "3"};
  made.flowerings.of_tree = {"1", "2", "3"};
  made.flowerings.crop = {500.0, 400.0, 100.0};
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_FALSE(result.joined);
  EXPECT_EQ(result.block.readiness, result.together.readiness);
  EXPECT_EQ(result.block.decision, Decision::sample_more);
  EXPECT_THAT(result.sentences, ElementsAre("Flowering 3 has no fruit with dry matter."));
}

// Picked, and its trees counted since.
TEST(FloweringEstimate, OneOfThreeWithoutCropCountsForNothing) {
  Orchard made = orchard(0.0);
  made.flowerings.names = {"0", "1", "2"};
  made.flowerings.of_tree = {"0", "1", "2"};
  made.flowerings.crop = {0.0, 500.0, 400.0};
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_TRUE(result.joined);
  EXPECT_EQ(result.block.decision, Decision::ready);
  EXPECT_EQ(*result.flowerings[0].crop_share, 0.0);
  EXPECT_EQ(result.flowerings[0].crop_share_interval->high, 0.0);
}

TEST(FloweringEstimate, FruitWithoutFlowering) {
  Orchard made = orchard(0.0);
  made.flowerings.of_fruit[3] = "";
  JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_TRUE(result.joined);
  EXPECT_THAT(result.sentences, ElementsAre(HasSubstr("1 of 24 fruit has no flowering and is")));
  EXPECT_EQ(result.block.decision, Decision::ready);
  made.flowerings.of_fruit[4] = "";
  result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_FALSE(result.joined);
  EXPECT_EQ(result.block.decision, Decision::sample_more);
  EXPECT_THAT(result.sentences, ElementsAre(HasSubstr("more than 1 in 20")));
}

TEST(FloweringEstimate, SharesThatNothingTellsBlock) {
  Orchard made = orchard(0.0);
  made.flowerings.drawn_at_random.assign(24, false);
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_FALSE(result.joined);
  EXPECT_FALSE(result.flowerings[0].crop_share.has_value());
  EXPECT_EQ(result.flowerings[0].estimate.decision, Decision::ready);
  EXPECT_EQ(result.block.decision, Decision::sample_more);
  EXPECT_THAT(result.sentences, ElementsAre(HasSubstr("count or guess the crop of every tree")));
}

// Two flowerings on every tree share its effect: their joined mean is less sure than if they stood
// on trees of their own.
TEST(FloweringEstimate, SharedTreesTieTheMeans) {
  Orchard apart = orchard(0.0);
  Orchard shared = apart;
  for (std::size_t i = 0; i < shared.data.tree.size(); ++i) {
    shared.data.tree[i] = "t" + std::to_string((i / 4) * 2);
  }
  const auto sd = [](const Orchard& made) {
    return *estimate_flowerings(made.data, made.flowerings, cases::rule()).block.mean_dm_sd;
  };
  EXPECT_GT(sd(shared), 1.02 * sd(apart));
}

TEST(FloweringEstimate, BadInputIsNamed) {
  Orchard made = orchard(0.0);
  const auto run = [&] { estimate_flowerings(made.data, made.flowerings, cases::rule()); };
  made.flowerings.of_fruit[5] = "3";
  EXPECT_THAT(run, ThrowsMessage<std::invalid_argument>(
                       HasSubstr("flowering of fruit in row 6: '3'; expected one of 1, 2")));
  made = orchard(0.0);
  made.flowerings.names = {};
  EXPECT_THROW(run(), std::invalid_argument);
  made.flowerings.names = {"1", "1"};
  EXPECT_THROW(run(), std::invalid_argument);
  made = orchard(0.0);
  made.flowerings.of_fruit.pop_back();
  EXPECT_THROW(run(), std::invalid_argument);
  made = orchard(0.0);
  made.flowerings.of_tree = {"1", ""};
  made.flowerings.crop = {4.0, 4.0};
  EXPECT_THROW(run(), std::invalid_argument);
  made.flowerings.of_tree = {"1", "2"};
  made.flowerings.crop = {0.0, 0.0};
  EXPECT_THROW(run(), std::invalid_argument);
}

// One fruit is no estimate, but no error either.
TEST(FloweringEstimate, AFloweringOfOneFruit) {
  Orchard made = orchard(0.0);
  made.flowerings.names = {"1", "2", "3"};
  made.flowerings.of_fruit[7] = "3";
  const JoinedEstimate result = estimate_flowerings(made.data, made.flowerings, cases::rule());
  EXPECT_EQ(result.flowerings[2].estimate.counts.oven_fruit, 1);
  EXPECT_EQ(result.block.decision, Decision::sample_more);
  EXPECT_THAT(result.sentences, Contains("Flowering 3 was sampled on one tree only."));
}

}  // namespace
}  // namespace maturity
