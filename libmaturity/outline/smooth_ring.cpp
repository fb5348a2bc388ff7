#include "libmaturity/outline/smooth_ring.h"

#include <Eigen/Dense>

#include "libmaturity/core/ring_index.h"

namespace maturity {

std::vector<double> smooth_ring(const std::vector<double>& offsets,
                                const std::vector<double>& weights, int half_window) {
  const std::size_t n = offsets.size();
  const std::size_t width = 2 * static_cast<std::size_t>(half_window) + 1;
  std::vector<double> place(width);  // -1 to 1 across the window
  std::vector<double> near(width);
  for (std::size_t k = 0; k < width; ++k) {
    const double t = static_cast<double>(static_cast<int>(k) - half_window) / half_window;
    const double fade = 1.0 - t * t;
    place[k] = t;
    near[k] = fade * fade + 0.02;
  }
  std::vector<double> y(width);
  std::vector<double> weight(width);
  std::vector<double> smooth(n);
  for (std::size_t i = 0; i < n; ++i) {
    std::size_t j = ring_before(i, static_cast<std::size_t>(half_window), n);
    for (std::size_t k = 0; k < width; ++k) {
      y[k] = offsets[j];
      weight[k] = near[k] * weights[j];
      j = ring_next(j, n);
    }
    Eigen::Vector3d beta(offsets[i], 0, 0);
    for (int round = 0; round < 3; ++round) {
      Eigen::Matrix<double, 5, 1> powers = Eigen::Matrix<double, 5, 1>::Zero();  // sums of w t^p
      Eigen::Vector3d b = Eigen::Vector3d::Zero();
      for (std::size_t k = 0; k < width; ++k) {
        const double t = place[k];
        const double t2 = t * t;
        double w = weight[k];
        if (round > 0) {
          const double off = (y[k] - (beta(0) + beta(1) * t + beta(2) * t2)) / 0.7;
          w /= 1.0 + off * off;
        }
        powers(0) += w;
        powers(1) += w * t;
        powers(2) += w * t2;
        powers(3) += w * t2 * t;
        powers(4) += w * t2 * t2;
        b(0) += w * y[k];
        b(1) += w * y[k] * t;
        b(2) += w * y[k] * t2;
      }
      Eigen::Matrix3d a;
      a << powers(0), powers(1), powers(2),  //
          powers(1), powers(2), powers(3),   //
          powers(2), powers(3), powers(4);
      a.diagonal().array() += 1e-9;
      beta = a.llt().solve(b);
    }
    smooth[i] = beta(0);
  }
  return smooth;
}

}  // namespace maturity
