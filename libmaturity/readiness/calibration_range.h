#pragma once

#include <Eigen/Core>
#include <vector>

#include "libmaturity/readiness/block_data.h"

namespace maturity {

/// True when the shapes of the block's random sample (rows of `raw` (n,p) where `member`) lie
/// outside what the calibration saw (limits: compare_with_range). False when the calibration does
/// not state its range. Throws std::invalid_argument when its covariance is not positive definite.
bool outside_calibration(const CalibrationSlopes& calibration, const Eigen::MatrixXd& raw,
                         const std::vector<bool>& member);

}  // namespace maturity
