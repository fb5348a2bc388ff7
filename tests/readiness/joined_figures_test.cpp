#include "libmaturity/readiness/joined_figures.h"

#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/stats/normal.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

const Eigen::Matrix2d kApart = Eigen::Matrix2d::Identity();

/// oven_only and the same fruit `behind` lower: two flowerings of one shape.
std::vector<EstimatedBlock> two_groups(double behind) {
  BlockData late = cases::oven_only();
  for (double& oven : late.oven) {
    oven -= behind;
  }
  return {estimate_with_posterior(cases::oven_only(), cases::rule(), cases::options()),
          estimate_with_posterior(late, cases::rule(), cases::options())};
}

BlockEstimate joined(const std::vector<EstimatedBlock>& groups, const CropShares& shares,
                     const Eigen::MatrixXd& correlation = kApart) {
  BlockEstimate block;
  block.rule = groups.front().estimate.rule;
  join_groups(groups, shares, correlation, block);
  return block;
}

TEST(JoinGroups, AllOfTheCropGivesTheGroupItself) {
  const std::vector<EstimatedBlock> groups = two_groups(2.0);
  for (const std::size_t g : {0U, 1U}) {
    const BlockEstimate block =
        joined(groups, given_crop_shares({g == 0 ? 3.0 : 0.0, g == 0 ? 0.0 : 3.0}));
    const BlockEstimate& own = groups[g].estimate;
    EXPECT_EQ(block.readiness, own.readiness);
    EXPECT_EQ(block.mean_dm_pct, own.mean_dm_pct);
    EXPECT_EQ(block.share_interval->low, own.share_interval->low);
    EXPECT_EQ(block.psi_sd, own.psi_sd);
  }
}

// All but a millionth of the crop takes the way of any other share, and must come to the group's
// own exact figures: the error of the points.
TEST(JoinGroups, PointsComeToTheMixturesOwnFigures) {
  for (const double behind : {-1.5, 0.0, 1.0}) {
    const std::vector<EstimatedBlock> groups = two_groups(behind);
    const BlockEstimate block = joined(groups, given_crop_shares({1e-6, 1.0}));
    const BlockEstimate& own = groups[1].estimate;
    EXPECT_NEAR(*block.mean_dm_pct, *own.mean_dm_pct, 1e-5);
    EXPECT_NEAR(*block.mean_dm_sd, *own.mean_dm_sd, 1e-5);
    EXPECT_NEAR(block.mean_dm_interval->low, own.mean_dm_interval->low, 0.02);
    EXPECT_NEAR(block.mean_dm_interval->high, own.mean_dm_interval->high, 0.02);
    EXPECT_NEAR(*block.share_mature, *own.share_mature, 0.002);
    EXPECT_NEAR(block.share_interval->low, own.share_interval->low, 0.004);
    EXPECT_NEAR(block.share_interval->high, own.share_interval->high, 0.004);
    EXPECT_NEAR(block.share_interval_80->low, own.share_interval_80->low, 0.003);
    EXPECT_NEAR(*block.readiness, *own.readiness, 0.3);
    EXPECT_NEAR(*block.psi_mean, *own.psi_mean, 0.003);
    EXPECT_NEAR(*block.psi_sd, *own.psi_sd, 0.01);
    EXPECT_NEAR(*block.spread_sd, *own.spread_sd, 0.003);
  }
}

// Stratified sampling (Cochran 1977, Sampling Techniques, chapter 5, from memory): mean SUM W y,
// variance SUM W^2 v, the strata independent. Worked by hand for W = 0.7, 0.3.
TEST(JoinGroups, MeanAndErrorAreThoseOfStratifiedSampling) {
  const std::vector<EstimatedBlock> groups = two_groups(1.2);
  const double first = *groups[0].estimate.mean_dm_pct;
  const double second = *groups[1].estimate.mean_dm_pct;
  const double v1 = std::pow(*groups[0].estimate.mean_dm_sd, 2);
  const double v2 = std::pow(*groups[1].estimate.mean_dm_sd, 2);
  const CropShares shares = given_crop_shares({0.7, 0.3});
  const BlockEstimate block = joined(groups, shares);
  EXPECT_NEAR(*block.mean_dm_pct, 0.7 * first + 0.3 * second, 1e-9);
  EXPECT_NEAR(*block.mean_dm_sd, std::sqrt(0.49 * v1 + 0.09 * v2), 1e-9);
  // The interval comes from the points, not from that formula.
  const double half = 0.5 * (block.mean_dm_interval->high - block.mean_dm_interval->low);
  EXPECT_NEAR(half / *block.mean_dm_sd, 2.0, 0.08);
  // Means that move together err together.
  Eigen::Matrix2d tied;
  tied << 1.0, 0.5, 0.5, 1.0;
  const BlockEstimate tied_block = joined(groups, shares, tied);
  EXPECT_NEAR(*tied_block.mean_dm_sd, std::sqrt(0.49 * v1 + 0.09 * v2 + 0.21 * std::sqrt(v1 * v2)),
              1e-9);
  EXPECT_GT(tied_block.mean_dm_interval->high - tied_block.mean_dm_interval->low, 2.1 * half);
  // Wrong on purpose: SDs in place of variances (a block as sure as its groups) would be 0.43.
  EXPECT_LT(*block.mean_dm_sd, 0.9 * (0.7 * std::sqrt(v1) + 0.3 * std::sqrt(v2)));
}

// Wholly above the minimum, and wholly below: the share is that of the crop.
TEST(JoinGroups, ShareIsTheCropOfTheRipeGroup) {
  std::vector<EstimatedBlock> groups = two_groups(10.0);
  for (EstimatedBlock& group : groups) {
    for (GridNode& node : group.nodes) {
      node.level += 3.0;
      node.spread = 0.1;
      node.spread_var = 0.0;
      node.covariance = 0.0;
    }
  }
  EXPECT_NEAR(*joined(groups, given_crop_shares({0.7, 0.3})).share_mature, 0.7, 1e-3);
  // With its error: beta(7, 3), mean 0.7, quantiles from the beta distribution itself.
  CropShares unsure = given_crop_shares({0.7, 0.3});
  unsure.concentration = {7.0, 3.0};
  const BlockEstimate block = joined(groups, unsure);
  EXPECT_NEAR(block.share_interval->low, 0.3999, 0.004);
  EXPECT_NEAR(block.share_interval->high, 0.9251, 0.004);
  EXPECT_NEAR(*block.share_mature, 0.7138, 0.002);
}

// Groups alike, of 50 trees each, against both in one estimate.
TEST(JoinGroups, EqualGroupsGiveAboutTheSingleEstimate) {
  constexpr int kTrees = 50;
  std::vector<EstimatedBlock> groups;
  BlockData both;
  for (int g = 0; g < 2; ++g) {
    BlockData one;
    for (int t = 0; t < kTrees; ++t) {
      one.tree.push_back("t" + std::to_string(2 * t + g));
      // The quantiles of a normal block with mean 16.5, SD 1.2; the second in the other order.
      const int place = g == 0 ? t : kTrees - 1 - t;
      one.oven.push_back(16.5 + 1.2 * normal_quantile((place + 0.5) / kTrees));
      both.tree.push_back(one.tree.back());
      both.oven.push_back(one.oven.back());
    }
    groups.push_back(estimate_with_posterior(one, cases::rule()));
  }
  const BlockEstimate single = estimate_block(both, cases::rule());
  const BlockEstimate block = joined(groups, given_crop_shares({0.5, 0.5}));
  EXPECT_NEAR(*block.mean_dm_pct, *single.mean_dm_pct, 0.001);
  EXPECT_NEAR(*block.mean_dm_sd, *single.mean_dm_sd, 0.01);
  EXPECT_NEAR(*block.share_mature, *single.share_mature, 0.005);
  EXPECT_NEAR(block.share_interval->low, single.share_interval->low, 0.01);
  EXPECT_NEAR(block.share_interval->high, single.share_interval->high, 0.01);
  // Each group learns its spread from its own 50 fruit: a little less sure, as it says.
  EXPECT_NEAR(*block.readiness, *single.readiness, 8.0);
  EXPECT_NEAR(*block.psi_mean, *single.psi_mean, 0.04);
}

TEST(JoinGroups, IsTheSameEveryTime) {
  const std::vector<EstimatedBlock> groups = two_groups(1.0);
  CropShares shares = given_crop_shares({0.6, 0.4});
  shares.concentration = {12.0, 8.0};
  EXPECT_EQ(joined(groups, shares).readiness, joined(groups, shares).readiness);
}

TEST(JoinGroups, RuleMeanAsksTheMean) {
  std::vector<EstimatedBlock> groups = two_groups(1.0);
  groups.front().estimate.rule.kind = RuleKind::mean;
  const BlockEstimate block = joined(groups, given_crop_shares({0.5, 0.5}));
  const double z = (*block.mean_dm_pct - 15.0) / *block.mean_dm_sd;
  EXPECT_NEAR(*block.readiness, 100.0 * normal_cdf(z), 1.0);
}

TEST(JoinGroups, BadInputIsNamed) {
  const std::vector<EstimatedBlock> groups = two_groups(1.0);
  BlockEstimate block;
  block.rule = cases::rule();
  EXPECT_THROW(join_groups({}, {}, Eigen::MatrixXd(), block), std::invalid_argument);
  EXPECT_THROW(join_groups(groups, given_crop_shares({1.0}), kApart, block), std::invalid_argument);
  std::vector<EstimatedBlock> unread = groups;
  unread[1].nodes.clear();
  EXPECT_THROW(join_groups(unread, given_crop_shares({0.5, 0.5}), kApart, block),
               std::invalid_argument);
  // Without crop it is not asked.
  EXPECT_NO_THROW(join_groups(unread, given_crop_shares({1.0, 0.0}), kApart, block));
}

}  // namespace
}  // namespace maturity
