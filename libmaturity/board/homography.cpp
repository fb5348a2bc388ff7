#include "libmaturity/board/homography.h"

#include <Eigen/Dense>
#include <numbers>

namespace maturity {

Eigen::Matrix3d homography(const std::vector<std::pair<Point, Point>>& pairs) {
  const auto normaliser = [&](bool second) {
    Point mean = Point::Zero();
    for (const auto& p : pairs) {
      mean += second ? p.second : p.first;
    }
    mean /= static_cast<double>(pairs.size());
    double spread = 0.0;
    for (const auto& p : pairs) {
      spread += ((second ? p.second : p.first) - mean).norm();
    }
    const double s = std::numbers::sqrt2 * static_cast<double>(pairs.size()) / spread;
    Eigen::Matrix3d t;
    t << s, 0, -s * mean.x(), 0, s, -s * mean.y(), 0, 0, 1;
    return t;
  };
  const Eigen::Matrix3d ta = normaliser(false);
  const Eigen::Matrix3d tb = normaliser(true);
  Eigen::MatrixXd a(2 * static_cast<Eigen::Index>(pairs.size()), 9);
  Eigen::Index row = 0;
  for (const auto& [from, to] : pairs) {
    const Eigen::Vector3d p = ta * from.homogeneous();
    const Eigen::Vector3d q = tb * to.homogeneous();
    a.row(row++) << p.transpose(), 0, 0, 0, -q.x() * p.transpose();
    a.row(row++) << 0, 0, 0, p.transpose(), -q.y() * p.transpose();
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(a, Eigen::ComputeFullV);
  const Eigen::VectorXd h = svd.matrixV().col(8);
  Eigen::Matrix3d m;
  m << h(0), h(1), h(2), h(3), h(4), h(5), h(6), h(7), h(8);
  return tb.inverse() * m * ta;
}

}  // namespace maturity
