#include "libmaturity/readiness/calibration_range.h"

#include <cstddef>

#include "libmaturity/stats/reference_range.h"

namespace maturity {

bool outside_calibration(const CalibrationSlopes& calibration, const Eigen::MatrixXd& raw,
                         const std::vector<bool>& member) {
  std::vector<Eigen::Index> rows;
  for (std::size_t i = 0; i < member.size(); ++i) {
    if (member[i]) {
      rows.push_back(static_cast<Eigen::Index>(i));
    }
  }
  if (calibration.shape_mean.size() == 0 || rows.empty()) {
    return false;
  }
  const ReferenceRange range{{}, 0, calibration.shape_mean, calibration.shape_covariance};
  return compare_with_range(range, raw(rows, Eigen::all)).outside;
}

}  // namespace maturity
