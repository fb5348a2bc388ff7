#include "libmaturity/readiness/crop_share.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <random>
#include <stdexcept>
#include <utility>

#include "tests/sanitized.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(CropShare, GivenWeightsSumToOne) {
  const CropShares shares = given_crop_shares({2.0, 0.0, 6.0});
  EXPECT_EQ(shares.share, (std::vector<double>{0.25, 0.0, 0.75}));
  EXPECT_TRUE(shares.concentration.empty());
}

TEST(CropShare, BadSharesAreNamed) {
  EXPECT_THAT(
      [] {
        given_crop_shares({0.5, -0.1});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("group 2: -0.1")));
  EXPECT_THROW(given_crop_shares({0.0, 0.0}), std::invalid_argument);
  EXPECT_THROW(given_crop_shares({}), std::invalid_argument);
  EXPECT_THROW(given_crop_shares({1.0, std::nan("")}), std::invalid_argument);
  EXPECT_THROW(given_crop_shares({1.0, std::numeric_limits<double>::infinity()}),
               std::invalid_argument);
  EXPECT_THROW(counted_crop_shares({0, 2}, {5.0, 5.0}, 2), std::invalid_argument);
  EXPECT_THROW(counted_crop_shares({0}, {5.0, 5.0}, 2), std::invalid_argument);
  EXPECT_THAT(
      [] {
        counted_crop_shares({0, 1}, {5.0, -1.0}, 2);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("crop of tree 2: -1")));
  EXPECT_THROW(sampled_crop_shares({0, -1}, {"a", "b"}, 2), std::invalid_argument);
}

// 4 + 1 trees of 100 fruit: shares 0.8 and 0.2; the log of their ratio has variance
// 2 x 0.1^2 + 0.2^2/4 + 0.2^2/1 = 0.07, the share 0.16^2 x that.
TEST(CropShare, CountsCarryTheErrorOfCounting) {
  const CropShares shares =
      counted_crop_shares({0, 0, 1, 0, 0}, {100.0, 100.0, 100.0, 100.0, 100.0}, 2);
  EXPECT_NEAR(shares.share[0], 0.8, 1e-6);
  const double number = shares.concentration[0] + shares.concentration[1];
  EXPECT_NEAR(0.8 * 0.2 / (number + 1.0), 0.16 * 0.16 * 0.07, 1e-6);
  EXPECT_EQ(shares.trees, 5);
  EXPECT_EQ(shares.fruit, 500.0);
  EXPECT_TRUE(counted_crop_shares({0, 0}, {10.0, 20.0}, 2).concentration.empty());
}

// Every tree of one flowering only: 20 trees of 3 fruit tell no more than 20 fruit.
TEST(CropShare, TreesAreTheClusters) {
  std::vector<int> by_tree;
  std::vector<int> by_fruit;
  std::vector<std::string> tree;
  for (int i = 0; i < 60; ++i) {
    tree.push_back(std::to_string(i / 3));
    by_tree.push_back((i / 3) % 4 == 0 ? 1 : 0);
    by_fruit.push_back(i % 4 == 0 ? 1 : 0);
  }
  const CropShares clustered = sampled_crop_shares(by_tree, tree, 2).value();
  const CropShares spread = sampled_crop_shares(by_fruit, tree, 2).value();
  const auto number = [](const CropShares& one) {
    return one.concentration[0] + one.concentration[1] - 1.0;
  };
  // k/(k-1) of 3 fruit a tree: 60/(3 x 20/19) = 19, less for t of 19 degrees against 59.
  EXPECT_NEAR(number(clustered), 19.0 * std::pow(2.0010 / 2.0930, 2), 0.05);
  EXPECT_NEAR(number(spread), 60.0 * std::pow(2.0010 / 2.0930, 2), 0.05);
  EXPECT_NEAR(spread.share[1], 15.0 / 60.0, 0.01);
  // None of the second: 20 trees tell no more of it than 20 fruit.
  const CropShares none = sampled_crop_shares(std::vector<int>(60, 0), tree, 2).value();
  EXPECT_NEAR(number(none), 20.0 * std::pow(2.0010 / 2.0930, 2), 0.05);
  EXPECT_FALSE(sampled_crop_shares({0, 1, 0, 1}, {"a", "b", "c", "d"}, 2).has_value());
}

/// How often the 95 % interval holds the truth: k trees of 3 fruit, each tree of one flowering
/// (clustered) or each fruit by itself.
double coverage(int trees, double truth, bool clustered, bool trees_ignored) {
  constexpr int kRounds = 400;
  std::mt19937_64 engine(7);
  std::uniform_real_distribution<double> uniform;
  int covered = 0;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<int> group;
    std::vector<std::string> tree;
    for (int t = 0; t < trees; ++t) {
      const int of_tree = uniform(engine) < truth ? 1 : 0;
      for (int i = 0; i < 3; ++i) {
        group.push_back(clustered ? of_tree : (uniform(engine) < truth ? 1 : 0));
        // Wrong on purpose: every fruit taken for a tree of its own.
        tree.push_back(std::to_string(trees_ignored ? 3 * t + i : t));
      }
    }
    const Interval interval = sampled_crop_shares(group, tree, 2)->interval[1];
    covered += interval.low <= truth && truth <= interval.high ? 1 : 0;
  }
  return covered / static_cast<double>(kRounds);
}

TEST(CropShare, IntervalsOfASampleCoverTheTruth) {
  if (kSanitized) {
    GTEST_SKIP() << "judged in the optimised build";
  }
  for (const int trees : {8, 15, 30}) {
    for (const double truth : {0.3, 0.5}) {
      EXPECT_GT(coverage(trees, truth, true, false), 0.925) << trees << " " << truth;
      EXPECT_GT(coverage(trees, truth, false, false), 0.925) << trees << " " << truth;
    }
  }
  EXPECT_LT(coverage(15, 0.3, true, true), 0.85);
}

/// How often the 95 % interval holds the true share of the late fruit: `trees` drawn of 150, 45 of
/// them late, whose crops differ by half of their mean; counts are as wrong as they are taken to
/// be.
double coverage_of_counts(std::size_t trees, double of_block, bool as_whole) {
  constexpr int kRounds = 400;
  constexpr std::size_t kBlock = 150;
  constexpr std::size_t kLate = 45;
  std::mt19937_64 engine(11);
  std::normal_distribution<double> normal;
  int covered = 0;
  int told = 0;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<std::pair<int, double>> block;
    std::array<double, 2> sum{};
    for (std::size_t t = 0; t < kBlock; ++t) {
      block.emplace_back(t < kLate ? 1 : 0, 100.0 * std::exp(0.47 * normal(engine)));
      sum.at(static_cast<std::size_t>(block.back().first)) += block.back().second;
    }
    std::shuffle(block.begin(), block.end(), engine);
    const double hidden = std::exp(kGroupCountError * std::sqrt(2.0) * normal(engine));
    std::vector<int> group;
    std::vector<double> crop;
    for (std::size_t t = 0; t < trees; ++t) {
      const auto [late, fruit] = block[t];
      group.push_back(late);
      crop.push_back(fruit * std::exp(kTreeCountError * normal(engine)) *
                     (late == 1 ? hidden : 1.0));
    }
    const auto shares = as_whole ? std::optional(counted_crop_shares(group, crop, 2))
                                 : partly_counted_crop_shares(group, crop, 2, of_block);
    if (shares) {
      const double truth = sum[1] / (sum[0] + sum[1]);
      ++told;
      covered += shares->interval[1].low <= truth && truth <= shares->interval[1].high ? 1 : 0;
    }
  }
  EXPECT_GT(told, kRounds * 9 / 10);
  return covered / static_cast<double>(told);
}

TEST(CropShare, CountsOnSomeTreesCoverTheTruth) {
  if (kSanitized) {
    GTEST_SKIP() << "judged in the optimised build";
  }
  for (const std::size_t trees : {8U, 15U, 30U}) {
    EXPECT_GT(coverage_of_counts(trees, 0.0, false), 0.925) << trees;
    // Wrong on purpose: the trees drawn taken for all of the block.
    EXPECT_LT(coverage_of_counts(trees, 1.0, true), 0.75) << trees;
  }
  EXPECT_GT(coverage_of_counts(75, 0.5, false), 0.925);
}

// A third of the trees rest: a flowering whose few drawn trees bear nothing is not gone.
TEST(CropShare, CountsOnSomeTreesCoverTheTruthWhereTreesRest) {
  if (kSanitized) {
    GTEST_SKIP() << "judged in the optimised build";
  }
  constexpr int kRounds = 600;
  constexpr std::size_t kTrees = 6;
  std::mt19937_64 engine(5);
  std::uniform_real_distribution<double> uniform;
  int covered = 0;
  int told = 0;
  int gone = 0;
  for (int round = 0; round < kRounds; ++round) {
    // Of an endless block, a fifth of the trees late.
    std::vector<int> group;
    std::vector<double> crop;
    for (std::size_t t = 0; t < kTrees; ++t) {
      group.push_back(uniform(engine) < 0.2 ? 1 : 0);
      crop.push_back(uniform(engine) < 1.0 / 3.0 ? 0.0 : 100.0);
    }
    crop[0] = 100.0;
    const auto shares = partly_counted_crop_shares(group, crop, 2, 0.0);
    gone += std::count(group.begin(), group.end(), 1) > 0 &&
                    counted_crop_shares(group, crop, 2).share[1] == 0.0
                ? 1
                : 0;
    told += shares ? 1 : 0;
    covered += shares && shares->interval[1].low <= 0.2 && 0.2 <= shares->interval[1].high ? 1 : 0;
  }
  EXPECT_GT(told, kRounds / 4);
  EXPECT_GT(covered / static_cast<double>(told), 0.925);
  // Wrong on purpose: no fruit on them taken for no crop, which never holds the truth.
  EXPECT_LT(covered / static_cast<double>(told + gone), 0.9);
}

TEST(CropShare, CountsOnSomeTrees) {
  const std::vector<int> group{0, 0, 1, 0, 1};
  const std::vector<double> crop{100.0, 50.0, 100.0, 150.0, 100.0};
  const CropShares all = counted_crop_shares(group, crop, 2);
  const CropShares none_left = *partly_counted_crop_shares(group, crop, 2, 1.0);
  EXPECT_EQ(none_left.source, CropShareSource::counted_on_some);
  EXPECT_NEAR(none_left.sd(0), all.sd(0), 0.01);
  EXPECT_GT(partly_counted_crop_shares(group, crop, 2, 0.5)->sd(0), 1.5 * all.sd(0));
  EXPECT_GT(partly_counted_crop_shares(group, crop, 2, 0.0)->sd(0),
            partly_counted_crop_shares(group, crop, 2, 0.5)->sd(0));
  // Picked: trees without fruit. Not drawn, or too few drawn: nothing is said.
  const auto picked = partly_counted_crop_shares({0, 1, 1, 1, 1, 1}, {90.0, 0, 0, 0, 0, 0}, 2, 0.0);
  ASSERT_TRUE(picked);
  EXPECT_EQ(picked->share[1], 0.0);
  // Two bare trees may be two that rest this year.
  EXPECT_FALSE(partly_counted_crop_shares(group, {100.0, 50.0, 0.0, 150.0, 0.0}, 2, 0.0));
  EXPECT_FALSE(partly_counted_crop_shares({0, 0, 0, 0, 0}, crop, 2, 0.0));
  EXPECT_FALSE(partly_counted_crop_shares({0, 1, 0, 1}, {1.0, 1.0, 1.0, 1.0}, 2, 0.0));
  EXPECT_THAT([&] { partly_counted_crop_shares(group, crop, 2, 1.5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("of_block: 1.5")));
}

}  // namespace
}  // namespace maturity
