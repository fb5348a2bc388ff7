#include "libmaturity/stats/two_normals.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/sanitized.h"

namespace maturity {
namespace {

std::vector<double> drawn(std::mt19937_64& engine, int n, double low_share, double behind) {
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform;
  std::vector<double> values;
  values.reserve(static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) {
    values.push_back(16.0 + normal(engine) - (uniform(engine) < low_share ? behind : 0.0));
  }
  return values;
}

TEST(TwoNormals, FindsGroupsThatLieApart) {
  std::vector<double> values;
  values.reserve(40);
  for (int i = 0; i < 40; ++i) {
    values.push_back((i < 12 ? 10.0 : 20.0) + 0.1 * (i % 4));
  }
  const TwoNormals fit = fit_two_normals(values).value();
  EXPECT_NEAR(fit.low_mean, 10.15, 1e-6);
  EXPECT_NEAR(fit.high_mean, 20.15, 1e-6);
  EXPECT_NEAR(fit.low_share, 0.3, 1e-6);
  EXPECT_NEAR(fit.sd, 0.1 * std::sqrt(1.25), 1e-6);
  // By hand: groups that do not overlap have log likelihood n (share entropy - log sd) against
  // -n log of the whole spread.
  const double whole = std::sqrt(0.0125 + 0.21 * 100.0);
  const double entropy = 0.3 * std::log(0.3) + 0.7 * std::log(0.7);
  EXPECT_NEAR(fit.statistic, 80.0 * (entropy + std::log(whole / fit.sd)), 1e-3);
}

TEST(TwoNormals, RecoversWhatWasDrawn) {
  std::mt19937_64 engine(2);
  const TwoNormals fit = fit_two_normals(drawn(engine, 5000, 0.3, 3.0)).value();
  EXPECT_NEAR(fit.low_mean, 13.0, 0.12);
  EXPECT_NEAR(fit.high_mean, 16.0, 0.06);
  EXPECT_NEAR(fit.sd, 1.0, 0.05);
  EXPECT_NEAR(fit.low_share, 0.3, 0.03);
}

TEST(TwoNormals, OneSlipIsNoGroup) {
  std::mt19937_64 engine(4);
  int with_slip = 0;
  for (int round = 0; round < 50; ++round) {
    std::vector<double> values = drawn(engine, 40, 0.0, 0.0);
    values[0] = 12.0;
    with_slip += fit_two_normals(values)->statistic > two_normals_limit(40) ? 1 : 0;
  }
  EXPECT_LE(with_slip, 15);
}

/// How often of `rounds` samples the statistic exceeds a limit.
int beyond(int rounds, int n, double share, double behind, double limit) {
  std::mt19937_64 engine(6);
  int count = 0;
  for (int round = 0; round < rounds; ++round) {
    count += fit_two_normals(drawn(engine, n, share, behind))->statistic > limit ? 1 : 0;
  }
  return count;
}

TEST(TwoNormals, LimitIsOneInAHundredAndFindsGroupsFarApart) {
  if (kSanitized) {
    GTEST_SKIP() << "judged in the optimised build";
  }
  for (const int n : {30, 60}) {
    const double limit = two_normals_limit(n);
    const int alarms = beyond(1500, n, 0.0, 0.0, limit);
    EXPECT_GE(alarms, 4) << n;
    EXPECT_LE(alarms, 28) << n;
    EXPECT_GT(beyond(200, n, 0.3, 4.0, limit), 100) << n;
  }
  // Wrong on purpose: the limit of a chi-square law of 2 degrees, 9.21, at 20 values, and of 1
  // degree, 6.63, at any.
  EXPECT_GT(beyond(1500, 30, 0.0, 0.0, 6.63), 50);
}

TEST(TwoNormals, NeedsValuesWithSpread) {
  EXPECT_FALSE(fit_two_normals({1, 2, 3, 4, 5, 6, 7}).has_value());
  EXPECT_FALSE(fit_two_normals(std::vector<double>(30, 16.1)).has_value());
  std::vector<double> some{1, 2, 3, 4, 5, 6, 7, std::numeric_limits<double>::quiet_NaN()};
  EXPECT_FALSE(fit_two_normals(some).has_value());
  some.push_back(8.0);
  EXPECT_TRUE(fit_two_normals(some).has_value());
}

}  // namespace
}  // namespace maturity
