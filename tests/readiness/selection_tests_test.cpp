#include "libmaturity/readiness/selection_tests.h"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

namespace maturity {
namespace {

// Groups 11, 12, 13 and 12, 14, ..., 20 by hand: variances of the means 1/3 and 2, t = 4/sqrt(7/3),
// 5.157894737 degrees of freedom; two-sided P COMPUTED by Simpson's rule on the t density.
TEST(SelectionTests, MeterTestIsWelchs) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const std::vector<double> oven{15, 15, 15, nan, nan, nan, nan, nan};
  const std::vector<double> meter{11, 12, 13, 12, 14, 16, 18, 20};
  EXPECT_NEAR(selection_by_meter(oven, meter).value(), 0.0457758284388, 1e-10);
  // Fewer than 5 fruit with a meter reading only: not asked.
  EXPECT_FALSE(selection_by_meter(oven, {11, 12, 13, 12, 14, 16, 18, nan}).has_value());
}

// One descriptor, the largest of five equally spaced values: x = 2/sqrt(2.5), so the statistic is
// 1.6/(1 - 1/5) = 2, and the chi-square(1) tail at 2 is 0.157299 (standard table).
TEST(SelectionTests, ShapeTestIsAChiSquare) {
  const Eigen::MatrixXd raw = (Eigen::MatrixXd(5, 1) << 1.0, 2.0, 3.0, 4.0, 5.0).finished();
  const PhaseOne one = standardise(raw, std::vector<bool>(5, true), {0, 1, 2, 3, 4});
  EXPECT_NEAR(selection_by_shape(one, {false, false, false, false, true}).value(), 0.157299, 1e-5);
  EXPECT_FALSE(selection_by_shape(one, std::vector<bool>(5, true)).has_value());
  EXPECT_FALSE(selection_by_shape(one, std::vector<bool>(5, false)).has_value());
}

}  // namespace
}  // namespace maturity
