#include "libmaturity/stats/one_way.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/two_stage.h"
#include "tests/values/dyestuff.h"
#include "tests/values/nist_reference_datasets.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

TEST(OneWay, SiRstvMatchesItsCertifiedValues) {
  const OneWay fit = analyse_one_way(values::kSiRstv);
  EXPECT_NEAR(fit.f_statistic, values::kSiRstvF, 1e-8 * values::kSiRstvF);
  EXPECT_NEAR(fit.r_squared, values::kSiRstvRSquared, 1e-8 * values::kSiRstvRSquared);
  EXPECT_NEAR(fit.residual_sd, values::kSiRstvResidualSd, 1e-8 * values::kSiRstvResidualSd);
  EXPECT_NEAR(fit.between_sum_of_squares, values::kSiRstvBetweenSquares, 1e-9);
  EXPECT_NEAR(fit.within_sum_of_squares, values::kSiRstvWithinSquares, 1e-9);
  EXPECT_NEAR(fit.between_variance, values::kSiRstvBetweenVariance, 1e-10);
  EXPECT_NEAR(fit.intraclass_correlation, values::kSiRstvIntraclass, 1e-8);
}

// Wrong on purpose: the one-pass sum of squares loses the certified digits to the large offset.
TEST(OneWay, OnePassSumsWouldMissTheSiRstvBar) {
  float squares = 0.0F;
  float sum = 0.0F;
  for (const auto& group : values::kSiRstv) {
    for (const double value : group) {
      squares += static_cast<float>(value * value);
      sum += static_cast<float>(value);
    }
  }
  const double total = squares - sum * sum / 25.0F;
  EXPECT_GT(std::abs(total - values::kSiRstvBetweenSquares - values::kSiRstvWithinSquares), 1e-3);
}

TEST(OneWay, DyestuffMatchesThePublishedFit) {
  const OneWay fit = analyse_one_way(values::kDyestuff);
  EXPECT_NEAR(fit.mean, values::kDyestuffMean, 1e-9);
  EXPECT_NEAR(fit.between_mean_square, values::kDyestuffBetweenMeanSquare, 1e-6);
  EXPECT_NEAR(fit.between_variance, values::kDyestuffBetweenVariance, 1e-6);
  EXPECT_NEAR(fit.within_variance, values::kDyestuffWithinVariance, 1e-6);
  EXPECT_NEAR(fit.intraclass_correlation, values::kDyestuffIntraclass, 1e-9);
  EXPECT_NEAR(fit.clustered_se, values::kDyestuffClusteredSe, 1e-6);
  EXPECT_NEAR(fit.naive_se, values::kDyestuffNaiveSe, 1e-6);
  EXPECT_NEAR(design_effect(5.0, fit.intraclass_correlation), values::kDyestuffDesignEffect, 1e-7);
  for (std::size_t g = 0; g < 6; ++g) {
    EXPECT_NEAR(fit.group_effects[g], values::kDyestuffEffects.at(g), 1e-5);
  }
}

// The cluster-robust error of a balanced set equals sqrt(MSB/n): another road to the same number.
TEST(OneWay, ClusteredErrorAgreesWithTheSpreadOfClusterTotals) {
  std::vector<double> all;
  std::vector<std::string> batch;
  for (std::size_t g = 0; g < values::kDyestuff.size(); ++g) {
    for (const double value : values::kDyestuff[g]) {
      all.push_back(value);
      batch.push_back(std::to_string(g));
    }
  }
  const ClusteredMean mean = clustered_mean(all, batch);
  EXPECT_NEAR(mean.standard_error, values::kDyestuffClusteredSe, 1e-6);
  EXPECT_EQ(mean.clusters, 6);
}

TEST(OneWay, UnequalGroupsKeepTheVarianceComponentsUnbiased) {
  // Hand arithmetic: groups {1,3} and {5}: SSB 6, SSW 2, n0 = 3 - 5/3 = 4/3, (6 - 2)/(4/3) = 3.
  const OneWay fit = analyse_one_way({{1.0, 3.0}, {5.0}});
  EXPECT_NEAR(fit.between_sum_of_squares, 6.0, 1e-12);
  EXPECT_NEAR(fit.within_variance, 2.0, 1e-12);
  EXPECT_NEAR(fit.between_variance, 3.0, 1e-12);
}

TEST(OneWay, NegativeComponentIsKeptRawAndReadAsZero) {
  const OneWay fit = analyse_one_way({{1.0, 3.0}, {1.1, 2.9}, {0.9, 3.1}});
  EXPECT_LT(fit.raw_between_variance, 0.0);
  EXPECT_EQ(fit.between_variance, 0.0);
  EXPECT_EQ(fit.group_effects, std::vector<double>(3, 0.0));
}

TEST(OneWay, BadInputIsNamed) {
  EXPECT_THAT(
      [] {
        analyse_one_way({{1.0, 2.0}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("groups: 1")));
  EXPECT_THAT(
      [] {
        analyse_one_way({{1.0}, {2.0}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("at least 2 values")));
  EXPECT_THAT(
      [] {
        analyse_one_way({{1.0, NAN}, {2.0}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("group 1")));
  EXPECT_THAT(
      [] {
        analyse_one_way({{1.0, 2.0}, {}});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("group 2: empty")));
}

}  // namespace
}  // namespace maturity
