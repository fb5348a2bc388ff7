#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/stats/normal.h"

#include <gtest/gtest.h>

#include <cmath>

namespace maturity {
namespace {

GridNode node(double weight, double level, double level_var, double spread, double spread_var,
              double covariance) {
  GridNode result;
  result.weight = weight;
  result.level = level;
  result.level_var = level_var;
  result.spread = spread;
  result.spread_var = spread_var;
  result.covariance = covariance;
  result.spread_square = spread * spread + spread_var;
  return result;
}

// Normal quantile 1.959963985 for 0.975 (standard table).
TEST(BlockMixture, OneNodeIsThePlainNormal) {
  const BlockMixture mixture({node(1.0, 16.0, 0.25, 1.3, 0.0, 0.0)}, 15.0);
  EXPECT_NEAR(mixture.mean_quantile(0.975), 16.0 + 0.5 * 1.959963985, 1e-8);
  EXPECT_NEAR(mixture.mean_quantile(0.5), 16.0, 1e-8);
  EXPECT_NEAR(mixture.mean_reaches_minimum(), normal_cdf(2.0), 1e-12);
  // Spread known: the share's quantiles are those of the level, mapped.
  EXPECT_NEAR(mixture.share_quantile(0.975), normal_cdf((1.0 + 0.5 * 1.959963985) / 1.3), 1e-8);
  EXPECT_NEAR(mixture.share_at_least(0.0), normal_cdf(2.0), 1e-12);
}

TEST(BlockMixture, QuantilesTurnTheDistributionsRound) {
  const BlockMixture mixture(
      {node(0.6, 16.0, 0.25, 1.3, 0.04, 0.02), node(0.395, 17.0, 0.5, 0.9, 0.02, -0.01),
       node(0.005, 12.0, 0.1, 2.5, 0.3, 0.0)},
      15.0);
  for (const double probability : {0.001, 0.025, 0.1, 0.5, 0.9, 0.975, 0.999}) {
    const double z = normal_quantile(mixture.share_quantile(probability));
    EXPECT_NEAR(1.0 - mixture.share_at_least(z), probability, 1e-7);
    const double x = mixture.mean_quantile(probability);
    const BlockMixture at_x(
        {node(0.6, 16.0, 0.25, 1.3, 0.04, 0.02), node(0.395, 17.0, 0.5, 0.9, 0.02, -0.01),
         node(0.005, 12.0, 0.1, 2.5, 0.3, 0.0)},
        x);
    EXPECT_NEAR(1.0 - at_x.mean_reaches_minimum(), probability, 1e-8);
  }
}

// Closed form: moments of a two-part mixture.
TEST(BlockMixture, MomentsAreThoseOfAMixture) {
  const BlockMixture mixture(
      {node(0.25, 16.0, 0.2, 1.0, 0.1, 0.05), node(0.75, 18.0, 0.4, 2.0, 0.3, 0.0)}, 15.0);
  EXPECT_NEAR(mixture.mean().mean, 17.5, 1e-12);
  EXPECT_NEAR(mixture.mean().sd, std::sqrt(0.25 * 0.2 + 0.75 * 0.4 + 0.25 * 0.75 * 4.0), 1e-12);
  EXPECT_NEAR(mixture.spread().mean, 1.75, 1e-12);
  EXPECT_NEAR(mixture.spread().sd, std::sqrt(0.25 * 0.1 + 0.75 * 0.3 + 0.25 * 0.75), 1e-12);
  // psi at z = 1: values 15 and 16, variances 0.2 - 0.1 + 0.1 and 0.4 + 0.3.
  EXPECT_NEAR(mixture.psi(1.0).mean, 15.75, 1e-12);
  EXPECT_NEAR(mixture.psi(1.0).sd, std::sqrt(0.25 * 0.2 + 0.75 * 0.7 + 0.25 * 0.75), 1e-12);
}

TEST(BlockMixture, ShareClipsAtItsEnds) {
  const BlockMixture high({node(1.0, 40.0, 0.01, 0.5, 0.001, 0.0)}, 3.0);
  EXPECT_EQ(high.share_quantile(0.5), normal_cdf(8.0));
  const BlockMixture low({node(1.0, 3.0, 0.01, 0.5, 0.001, 0.0)}, 40.0);
  EXPECT_EQ(low.share_quantile(0.5), normal_cdf(-8.0));
}

}  // namespace
}  // namespace maturity
