// Mean and spread of the greatest of several normal values or 0, against closed forms.
#include "libmaturity/descriptors/greatest_above.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <numeric>

namespace maturity {
namespace {

struct Censored {
  double mean = 0.0;
  double sd = 0.0;
  double chance = 0.0;
};

/// The greater of 0 and a normal value (a normal distribution censored below; from memory).
Censored censored(double mean, double sd) {
  const double t = mean / sd;
  const double above = 0.5 * std::erfc(-t / std::numbers::sqrt2);
  const double density = std::exp(-0.5 * t * t) / std::sqrt(2.0 * std::numbers::pi);
  const double first = mean * above + sd * density;
  const double second = (mean * mean + sd * sd) * above + mean * sd * density;
  return {first, std::sqrt(second - first * first), above};
}

TEST(GreatestAbove, OneValueFollowsTheCensoredNormalDistribution) {
  for (const double mean : {-1.5, -0.7, 0.0, 0.4, 3.0}) {
    const Censored exact = censored(mean, 1.0);
    const GreatestAbove found = greatest_above_zero(Eigen::VectorXd::Constant(1, mean),
                                                    Eigen::MatrixXd::Constant(1, 1, 1.0));
    EXPECT_NEAR(found.mean, exact.mean, 0.01) << mean;
    EXPECT_NEAR(std::sqrt(found.variance), exact.sd, 0.03 * exact.sd) << mean;
    EXPECT_NEAR(found.chance[0], exact.chance, 0.01) << mean;
  }
}

TEST(GreatestAbove, ValuesThatGoTogetherCountAsOne) {
  // Clark's two at a time would take the skew value after each for normal again.
  const GreatestAbove found =
      greatest_above_zero(Eigen::VectorXd::Constant(8, -0.7), Eigen::MatrixXd::Constant(8, 8, 1.0));
  const Censored exact = censored(-0.7, 1.0);
  EXPECT_NEAR(std::sqrt(found.variance), exact.sd, 0.03 * exact.sd);
  EXPECT_NEAR(std::accumulate(found.chance.begin(), found.chance.end(), 0.0), exact.chance, 0.01);
}

TEST(GreatestAbove, TheGreaterOfTwoIndependentValues) {
  // Far above 0: mean 1 / sqrt(pi), variance 1 - 1 / pi above theirs.
  constexpr double kHigh = 6.0;
  const GreatestAbove found =
      greatest_above_zero(Eigen::VectorXd::Constant(2, kHigh), Eigen::MatrixXd::Identity(2, 2));
  EXPECT_NEAR(found.mean, kHigh + std::numbers::inv_sqrtpi, 0.02);
  EXPECT_NEAR(found.variance, 1.0 - std::numbers::inv_pi, 0.03);
  EXPECT_NEAR(found.chance[0], 0.5, 0.03);
  // Taken for one value it would be seen.
  EXPECT_GT(std::abs(found.variance - 1.0), 0.2);
}

}  // namespace
}  // namespace maturity
