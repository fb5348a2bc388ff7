#include "libmaturity/readiness/phase_one.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace maturity {
namespace {

// Values 1, 3, 5, 7 on trees a, a, b, b: mean 4, SD sqrt(20/3); worked by hand.
TEST(PhaseOne, StandardisesAndSumsByTree) {
  const Eigen::MatrixXd raw = (Eigen::MatrixXd(4, 1) << 1.0, 3.0, 5.0, 7.0).finished();
  const PhaseOne one = standardise(raw, {true, true, true, true}, {0, 0, 1, 1});
  const double sd = std::sqrt(20.0 / 3.0);
  EXPECT_NEAR(one.mean[0], 4.0, 1e-12);
  EXPECT_NEAR(one.sd[0], sd, 1e-12);
  EXPECT_NEAR(one.x(3, 0), 3.0 / sd, 1e-12);
  EXPECT_NEAR(one.between_fruit(0, 0), 1.0, 1e-12);
  // Tree sums -4/sd and 4/sd; factor 2/(2-1) * 2 for fewer than 5 trees; n^2 = 16.
  EXPECT_NEAR(one.of_the_mean(0, 0), 2.0 * 2.0 * 2.0 * (16.0 / (20.0 / 3.0)) / 16.0, 1e-12);
  EXPECT_EQ(one.trees, 2);
}

// Special case: one fruit per tree and many trees is the variance of a mean, paid for few trees.
TEST(PhaseOne, OneFruitPerTreeIsTheVarianceOfAMean) {
  Eigen::MatrixXd raw(10, 1);
  std::vector<int> tree;
  for (int i = 0; i < 10; ++i) {
    raw(i, 0) = i * i;
    tree.push_back(i);
  }
  const PhaseOne one = standardise(raw, std::vector<bool>(10, true), tree);
  EXPECT_NEAR(one.of_the_mean(0, 0), 1.0 / 10.0 * (9.0 / 7.0), 1e-12);
}

TEST(PhaseOne, FruitOutsideTheSampleAreScaledButNotCounted) {
  const Eigen::MatrixXd raw = (Eigen::MatrixXd(4, 1) << 1.0, 3.0, 100.0, std::nan("")).finished();
  const PhaseOne one = standardise(raw, {true, true, false, false}, {0, 1, 1, 2});
  EXPECT_NEAR(one.mean[0], 2.0, 1e-12);
  EXPECT_NEAR(one.x(2, 0), 98.0 / std::sqrt(2.0), 1e-12);
  EXPECT_TRUE(std::isnan(one.x(3, 0)));
  EXPECT_EQ(one.fruit, 2);
}

TEST(PhaseOne, OneTreeFallsBackToTheSpreadBetweenFruit) {
  const Eigen::MatrixXd raw = (Eigen::MatrixXd(3, 1) << 1.0, 2.0, 4.0).finished();
  const PhaseOne one = standardise(raw, {true, true, true}, {0, 0, 0});
  EXPECT_NEAR(one.of_the_mean(0, 0), 1.0, 1e-12);
}

TEST(PhaseOne, ConstantColumnsAreFoundAmongMembersOnly) {
  const Eigen::MatrixXd raw = (Eigen::MatrixXd(3, 2) << 1.0, 0.3, 2.0, 0.3, 5.0, 0.9).finished();
  EXPECT_THAT(constant_columns(raw, {true, true, false}), testing::ElementsAre(1));
  EXPECT_TRUE(constant_columns(raw, {true, true, true}).empty());
}

}  // namespace
}  // namespace maturity
