#include "libmaturity/stats/reference_range.h"

#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

namespace maturity {
namespace {

ReferenceRange round_range(int p) {
  return {"all", 60, Eigen::VectorXd::Zero(p), Eigen::MatrixXd::Identity(p, p)};
}

// Upper critical values of chi-square: NIST/SEMATECH e-Handbook 1.3.6.7.4 (from memory).
TEST(ReferenceRange, LimitsAreThoseOfTheChiSquareTable) {
  for (const auto& [p, at_99] : {std::pair{1, 6.635}, {2, 9.210}, {5, 15.086}, {8, 20.090}}) {
    const RangeComparison found = compare_with_range(round_range(p), Eigen::MatrixXd::Zero(3, p));
    EXPECT_NEAR(found.limit * found.limit, at_99, 5e-4) << p;
    EXPECT_FALSE(found.outside);
  }
}

TEST(ReferenceRange, MeanBeyondTheLimitIsOutsideAndOneWithinIsNot) {
  Eigen::MatrixXd sample = Eigen::MatrixXd::Zero(20, 2);
  sample.col(1).setConstant(std::sqrt(9.210) - 0.01);
  EXPECT_FALSE(compare_with_range(round_range(2), sample).outside);
  sample.col(1).setConstant(std::sqrt(9.211));
  const RangeComparison found = compare_with_range(round_range(2), sample);
  EXPECT_TRUE(found.outside);
  EXPECT_NEAR(found.off_sd[1], std::sqrt(9.211), 1e-12);
  EXPECT_EQ(found.off_sd[0], 0.0);
  EXPECT_EQ(found.share_beyond, 0.0);
}

TEST(ReferenceRange, MoreThanATenthOfTheMembersFarOutIsOutside) {
  Eigen::MatrixXd sample = Eigen::MatrixXd::Zero(20, 2);
  // 0.999 of chi-square(2) lie below 13.816 (same table): 3.8 is beyond, twice cancels in the mean.
  sample(0, 0) = 3.8;
  sample(1, 0) = -3.8;
  RangeComparison found = compare_with_range(round_range(2), sample);
  EXPECT_FALSE(found.outside);
  EXPECT_DOUBLE_EQ(found.share_beyond, 0.1);
  sample(2, 1) = 3.8;
  found = compare_with_range(round_range(2), sample);
  EXPECT_TRUE(found.outside);
  EXPECT_LT(found.distance, found.limit);
}

TEST(ReferenceRange, CorrelationCounts) {
  ReferenceRange range = round_range(2);
  range.covariance << 4.0, 1.9 * 2.0 * 0.5, 1.9 * 2.0 * 0.5, 1.0;  // SD 2 and 1, correlation 0.95
  Eigen::MatrixXd sample(1, 2);
  sample << 2.0, -1.0;  // one SD each, against the correlation
  // By hand: (1, -1) R^-1 (1, -1)' = 2/(1 - 0.95).
  EXPECT_NEAR(compare_with_range(range, sample).distance, std::sqrt(2.0 / 0.05), 1e-9);
  sample << 2.0, 1.0;  // and along it: 2/(1 + 0.95)
  EXPECT_NEAR(compare_with_range(range, sample).distance, std::sqrt(2.0 / 1.95), 1e-9);
}

TEST(ReferenceRange, GroupsAreToldApartInTheirPooledCovariance) {
  ReferenceRange near = round_range(2);
  near.members = 11;
  ReferenceRange far = near;
  far.mean = Eigen::Vector2d(6.0, 0.0);
  far.members = 31;
  far.covariance = 5.0 * Eigen::Matrix2d::Identity();
  // Pooled: (10 + 30 x 5)/40 = 4, so SD 2.
  const auto distances = distances_to_groups({near, far}, Eigen::MatrixXd::Zero(4, 2));
  ASSERT_EQ(distances.size(), 2U);
  EXPECT_DOUBLE_EQ(distances[0], 0.0);
  EXPECT_DOUBLE_EQ(distances[1], 3.0);
  EXPECT_TRUE(distances_to_groups({}, Eigen::MatrixXd::Zero(4, 2)).empty());
  near.covariance.setZero();
  EXPECT_TRUE(distances_to_groups({near}, Eigen::MatrixXd::Zero(4, 2)).empty());
}

TEST(ReferenceRange, MomentsOfASample) {
  Eigen::MatrixXd sample(3, 2);
  sample << 1.0, 2.0, 2.0, 4.0, 3.0, 9.0;
  const ReferenceRange range = range_of("block", sample);
  EXPECT_EQ(range.members, 3);
  EXPECT_TRUE(range.mean.isApprox(Eigen::Vector2d(2.0, 5.0)));
  EXPECT_DOUBLE_EQ(range.covariance(0, 1), 3.5);
  EXPECT_DOUBLE_EQ(range.covariance(1, 1), 13.0);
}

TEST(ReferenceRange, UnusableInputIsRefused) {
  ReferenceRange range = round_range(2);
  EXPECT_THROW(compare_with_range(range, Eigen::MatrixXd::Zero(3, 3)), std::invalid_argument);
  EXPECT_THROW(compare_with_range(range, Eigen::MatrixXd::Zero(0, 2)), std::invalid_argument);
  range.covariance(1, 1) = -1.0;
  EXPECT_THROW(compare_with_range(range, Eigen::MatrixXd::Zero(3, 2)), std::invalid_argument);
}

}  // namespace
}  // namespace maturity
