#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

namespace maturity {

/// Mean and covariance between the members of a group in p variables: what others are held against.
struct ReferenceRange {
  /// Name of the group; blank where it needs none.
  std::string group;
  /// Members behind it.
  int members = 0;
  /// (p) and (p,p).
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;
};

/// How a sample lies in a reference range. Distances are Mahalanobis's: 1 = one standard deviation.
struct RangeComparison {
  /// Mean beyond the 0.99 quantile of chi-square(p), or more than a tenth of the members beyond the
  /// 0.999 quantile.
  bool outside = false;
  double distance = 0.0;
  double limit = 0.0;
  double share_beyond = 0.0;
  /// Mean of each variable less the reference's, in the reference's standard deviations (p).
  Eigen::VectorXd off_sd;
};

/// Holds a sample (n,p), every row finite, n >= 1, against a range. The limits are a design choice:
/// with five correlated variables and 15 members of each of 3 to 6 groups that share 10 to 30 % of
/// the variance, a further group is called outside in 0 to 7 %, one shifted by 3 SD in 91 to 98 %.
/// Throws std::invalid_argument for sizes that disagree and a covariance that is not positive
/// definite.
RangeComparison compare_with_range(const ReferenceRange& range, const Eigen::MatrixXd& sample);

/// Distance of the sample's mean from that of each group, in the covariance within groups (pooled,
/// each by members - 1). Empty without groups, or where that covariance is not positive definite:
/// too few members. Throws std::invalid_argument for sizes that disagree.
std::vector<double> distances_to_groups(const std::vector<ReferenceRange>& groups,
                                        const Eigen::MatrixXd& sample);

/// Range of the rows of a sample (n,p); covariance with divisor n - 1, zero for one row.
ReferenceRange range_of(const std::string& group, const Eigen::MatrixXd& sample);

}  // namespace maturity
