#include "libmaturity/stats/two_stage.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <Eigen/Core>
#include <cmath>
#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// COMPUTED by two routes (formula; full covariance matrix), illustrative variances 0.36 and 1.44.
TEST(TwoStage, StandardErrorOfTheWorkedDesigns) {
  EXPECT_NEAR(two_stage_standard_error(0.36, 1.44, 10, 2), 0.32863353, 1e-8);
  EXPECT_NEAR(two_stage_standard_error(0.36, 1.44, 10, 5), 0.25455844, 1e-8);
  EXPECT_NEAR(two_stage_standard_error(0.36, 1.44, 20, 2), 0.232379, 1e-6);
  EXPECT_NEAR(two_stage_standard_error(0.36, 1.44, 30, 1), 0.24494897, 1e-8);
  EXPECT_NEAR(best_fruit_per_tree(10.0, 0.2), 6.3245553, 1e-7);
  EXPECT_EQ(trees_for_standard_error(0.25, 0.36, 1.44, 3), 14);
}

// Slow plain twin: 1' V 1 / n^2 with the full covariance matrix.
TEST(TwoStage, AgreesWithTheFullCovarianceMatrix) {
  Eigen::MatrixXd v = 1.44 * Eigen::MatrixXd::Identity(40, 40);
  for (Eigen::Index tree = 0; tree < 20; ++tree) {
    v.block(2 * tree, 2 * tree, 2, 2).array() += 0.36;
  }
  EXPECT_NEAR(two_stage_standard_error(0.36, 1.44, 20, 2), std::sqrt(v.sum()) / 40.0, 1e-14);
}

TEST(TwoStage, TreesForAnErrorIsTheSmallestThatReachesIt) {
  for (const double wanted : {0.2, 0.25, 0.4}) {
    const int trees = trees_for_standard_error(wanted, 0.36, 1.44, 2);
    EXPECT_LE(two_stage_standard_error(0.36, 1.44, trees, 2), wanted * (1.0 + 1e-12));
    EXPECT_GT(two_stage_standard_error(0.36, 1.44, trees - 1, 2), wanted);
  }
}

TEST(TwoStage, BestFruitPerTreeIsCheapestNextToItsNeighbours) {
  const double best = best_fruit_per_tree(10.0, 0.2);
  const auto loss = [](double m) { return (0.2 + 0.8 / m) * (10.0 + m); };
  EXPECT_LT(loss(best), loss(best * 1.01));
  EXPECT_LT(loss(best), loss(best / 1.01));
}

TEST(ClusteredMean, SinglesAreAPlainMean) {
  const ClusteredMean mean = clustered_mean({1.0, 2.0, 4.0, 5.0}, {"a", "b", "c", "d"});
  EXPECT_NEAR(mean.mean, 3.0, 1e-12);
  EXPECT_NEAR(mean.standard_error, std::sqrt(10.0 / 3.0 / 4.0), 1e-12);
  EXPECT_NEAR(mean.design_effect, 1.0, 1e-12);
}

TEST(ClusteredMean, CopiesOfOneValueAreWorthOne) {
  const ClusteredMean single = clustered_mean({1.0, 5.0, 3.0}, {"a", "b", "c"});
  const ClusteredMean twice =
      clustered_mean({1.0, 1.0, 5.0, 5.0, 3.0, 3.0}, {"a", "a", "b", "b", "c", "c"});
  EXPECT_NEAR(twice.standard_error, single.standard_error, 1e-12);
  EXPECT_GT(twice.design_effect, 2.0);
}

TEST(ClusteredMean, OneClusterHasNoError) {
  const ClusteredMean mean = clustered_mean({1.0, 2.0}, {"a", "a"});
  EXPECT_TRUE(std::isnan(mean.standard_error));
  EXPECT_TRUE(std::isnan(mean.design_effect));
}

TEST(TwoStage, BadInputIsNamed) {
  EXPECT_THAT([] { two_stage_standard_error(-0.1, 1.0, 3, 2); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("between_variance: -0.1")));
  EXPECT_THAT([] { two_stage_standard_error(0.1, 1.0, 0, 2); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("trees: 0")));
  EXPECT_THAT([] { design_effect(3.0, 1.5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("intraclass_correlation: 1.5")));
  EXPECT_THAT([] { best_fruit_per_tree(10.0, 0.0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("intraclass_correlation: 0")));
  EXPECT_THAT([] { clustered_mean({1.0}, {}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("clusters: 0 labels")));
}

}  // namespace
}  // namespace maturity
