#include "libmaturity/stats/normal.h"

#include <gtest/gtest.h>

#include <stdexcept>

namespace maturity {
namespace {

TEST(Normal, ValuesOfPrintedTables) {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1 (areas from 0 to z, 1/2 added; from
  // memory); density at 0 is 1 / sqrt(2 pi).
  EXPECT_NEAR(normal_cdf(1.0), 0.84134, 5e-6);
  EXPECT_NEAR(normal_cdf(1.96), 0.97500, 5e-6);
  EXPECT_NEAR(normal_cdf(-2.5), 1.0 - 0.99379, 5e-6);
  EXPECT_NEAR(normal_density(0.0), 0.3989422804, 1e-10);
  EXPECT_NEAR(normal_density(1.0), 0.2419707245, 1e-10);
}

TEST(Normal, QuantileTurnsTheChanceBack) {
  for (const double z : {-6.0, -1.3, 0.0, 0.4, 5.0}) {
    EXPECT_NEAR(normal_quantile(normal_cdf(z)), z, 1e-8) << z;
    EXPECT_NEAR((normal_cdf(z + 1e-5) - normal_cdf(z - 1e-5)) / 2e-5, normal_density(z), 1e-9);
  }
  EXPECT_NEAR(normal_quantile(0.975), 1.9599639845, 1e-9);
  EXPECT_THROW(normal_quantile(-0.1), std::domain_error);
}

}  // namespace
}  // namespace maturity
