#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "libmaturity/outline/stem_stub.h"

namespace maturity {

namespace {

// Of points on each side that the curve is drawn from.
constexpr std::size_t kShortestArm = 8;

void bridge_from(Polygon& outline, const Stub& stub, std::size_t margin, std::size_t arm) {
  const std::size_t n = outline.size();
  const std::size_t from = (stub.first + n - margin) % n;
  const std::size_t span = stub.length + 2 * margin;
  if (span + 2 * arm >= n) {
    return;
  }
  // In polar coordinates about the centre a round body is flat, and the curve cannot overshoot as a
  // parabola over a long chord would.
  const Point centre = area_centroid(outline);
  const auto angle_from = [&](const Point& reference, const Point& p) {
    const Point a = reference - centre;
    const Point b = p - centre;
    return std::atan2(a.x() * b.y() - a.y() * b.x(), a.dot(b));
  };
  const Point& before = outline[(from + n - 1) % n];
  const Point& after = outline[(from + span) % n];
  const Point middle_direction = 0.5 * (before + after);
  const double left = angle_from(middle_direction, before);
  const double right = angle_from(middle_direction, after);
  if (!(std::abs(right - left) > 1e-6) || std::abs(right - left) > 2.0) {
    return;
  }
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right_side = Eigen::Vector3d::Zero();
  for (std::size_t k = 1; k <= arm; ++k) {
    for (const Point& p : {outline[(from + n - k) % n], outline[(from + span - 1 + k) % n]}) {
      const double t = angle_from(middle_direction, p) / (right - left);
      const Eigen::Vector3d row(1.0, t, t * t);
      normal += row * row.transpose();
      right_side += row * (p - centre).norm();
    }
  }
  const Eigen::Vector3d curve = normal.ldlt().solve(right_side);
  if (!curve.allFinite()) {
    return;
  }
  const Point unit = (middle_direction - centre).normalized();
  for (std::size_t k = 0; k < span; ++k) {
    const double share = static_cast<double>(k + 1) / static_cast<double>(span + 1);
    const double angle = left + share * (right - left);
    const double t = angle / (right - left);
    const double r = curve(0) + curve(1) * t + curve(2) * t * t;
    outline[(from + k) % n] =
        centre + r * Point(unit.x() * std::cos(angle) - unit.y() * std::sin(angle),
                           unit.x() * std::sin(angle) + unit.y() * std::cos(angle));
  }
}

}  // namespace

// A stem stands in the hollow it grew from: the gap is no wider than it must be, or the hollow is
// lost. Where that and a wide gap differ by more than a hollow is deep, the nearest points lie on a
// leaf or another thing that crosses the outline.
void bridge(Polygon& outline, const Stub& stub) {
  constexpr std::size_t kMargin = 3;
  constexpr std::size_t kMostMargin = 8;
  constexpr double kMostApart = 0.03;  // of the root of the area
  Polygon narrow = outline;
  bridge_from(narrow, stub, kMargin, kShortestArm);
  bridge(outline, stub, std::min(kMargin + stub.length / 3, kMostMargin));
  const double least = kMostApart * std::sqrt(std::abs(signed_area(outline)));
  double most = 0.0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    most = std::max(most, (outline[i] - narrow[i]).norm());
  }
  if (most <= least) {
    outline = std::move(narrow);
  }
}

void bridge(Polygon& outline, const Stub& stub, std::size_t margin) {
  bridge_from(outline, stub, margin,
              std::max(kShortestArm, std::min(stub.length, outline.size() / 12)));
}

}  // namespace maturity
