#include "libmaturity/outline/smooth_ring.h"

#include <Eigen/Dense>

namespace maturity {

std::vector<double> smooth_ring(const std::vector<double>& offsets,
                                const std::vector<double>& weights, int half_window) {
  const std::size_t n = offsets.size();
  std::vector<double> smooth(n);
  for (std::size_t i = 0; i < n; ++i) {
    Eigen::Vector3d beta(offsets[i], 0, 0);
    for (int round = 0; round < 3; ++round) {
      Eigen::Matrix3d a = Eigen::Matrix3d::Zero();
      Eigen::Vector3d b = Eigen::Vector3d::Zero();
      for (int k = -half_window; k <= half_window; ++k) {
        const std::size_t j = (i + n + static_cast<std::size_t>(k + half_window) -
                               static_cast<std::size_t>(half_window)) %
                              n;
        const double t = static_cast<double>(k) / half_window;
        const double fade = 1.0 - t * t;
        double w = (fade * fade + 0.02) * weights[j];
        if (round > 0) {
          const double off = offsets[j] - (beta(0) + beta(1) * t + beta(2) * t * t);
          w /= 1.0 + (off / 0.7) * (off / 0.7);
        }
        const Eigen::Vector3d x(1.0, t, t * t);
        a += w * x * x.transpose();
        b += w * offsets[j] * x;
      }
      a.diagonal().array() += 1e-9;
      beta = a.ldlt().solve(b);
    }
    smooth[i] = beta(0);
  }
  return smooth;
}

}  // namespace maturity
