#include "libmaturity/solid/invert_silhouette.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "libmaturity/core/convex_hull.h"

namespace maturity {

namespace {

// Angle of the touching point above the widest section, by Newton from the on-axis value.
double touching_angle(const Point& seen, const Point& along, const Point& centre, double c,
                      const Eigen::Vector3d& camera) {
  const double height = camera.z();
  const Point foot = camera.head<2>();
  const Point d = centre - foot;
  const double turn = along.y() * d.x() - along.x() * d.y();
  const auto residual = [&](double angle) {
    const double z = c * (1.0 + std::sin(angle));
    const Point flat = foot + (seen - foot) * (1.0 - z / height);
    const Point q = (flat - centre) / std::cos(angle);
    const double w = along.x() * q.y() - along.y() * q.x();
    return c * turn * std::cos(angle) / w + (height - c) * std::sin(angle) - c;
  };
  double angle = std::asin(std::min(0.9, c / (height - c)));
  for (int i = 0; i < 20; ++i) {
    const double f = residual(angle);
    const double slope = (residual(angle + 1e-6) - f) / 1e-6;
    if (!(std::abs(slope) > 0.0)) {
      break;
    }
    const double step = std::clamp(-f / slope, -0.3, 0.3);
    angle = std::clamp(angle + step, -1.3, 1.3);
    if (std::abs(step) < 1e-12) {
      break;
    }
  }
  return angle;
}

// Direction of the silhouette at each point: slope of the line through a few neighbours on both
// sides (exact for a parabola). Edge noise of a tenth of a pixel on neighbouring points alone would
// turn it by degrees, and the touching height with it.
Polygon directions(const Polygon& silhouette, std::size_t reach) {
  const std::size_t n = silhouette.size();
  Polygon along(n);
  for (std::size_t i = 0; i < n; ++i) {
    Point slope = Point::Zero();
    for (std::size_t k = 1; k <= reach; ++k) {
      slope += static_cast<double>(k) * (silhouette[(i + k) % n] - silhouette[(i + n - k) % n]);
    }
    along[i] = slope;
  }
  return along;
}

Polygon section_from(const Polygon& silhouette, const Polygon& along, const Eigen::Vector3d& camera,
                     const Point& centre, double c) {
  const std::size_t n = silhouette.size();
  const Point foot = camera.head<2>();
  Polygon section(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double angle = touching_angle(silhouette[i], along[i], centre, c, camera);
    const double z = c * (1.0 + std::sin(angle));
    const Point flat = foot + (silhouette[i] - foot) * (1.0 - z / camera.z());
    section[i] = centre + (flat - centre) / std::cos(angle);
  }
  return section;
}

}  // namespace

double least_breadth(const Polygon& polygon) {
  const Polygon hull = convex_hull(polygon);
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Point side = hull[(i + 1) % hull.size()] - hull[i];
    const Point normal = Point(-side.y(), side.x()).normalized();
    double most = 0.0;
    for (const Point& p : hull) {
      most = std::max(most, normal.dot(p - hull[i]));
    }
    least = std::min(least, most);
  }
  return least;
}

std::optional<RestingSolid> invert_silhouette(const Polygon& silhouette,
                                              const Eigen::Vector3d& camera,
                                              const ThicknessPrior& prior) {
  if (silhouette.size() < 16 || !(camera.z() > 0.0)) {
    return std::nullopt;
  }
  RestingSolid solid;
  // Start: the silhouette shrunk as if it were the widest section of a body of this breadth.
  const double breadth = least_breadth(silhouette);
  double c = 0.5 * prior.thickness.value_or(0.9 * prior.ratio * breadth);
  if (!(c > 0.0) || camera.z() < 3.0 * c) {
    return std::nullopt;
  }
  const Point foot = camera.head<2>();
  Point centre = foot + (area_centroid(silhouette) - foot) * (1.0 - c / camera.z());
  // Neighbours on each side: 2 % of the outline, about 6 mm on a fruit.
  const Polygon along = directions(silhouette, std::max<std::size_t>(1, silhouette.size() / 60));
  constexpr int kMostRounds = 60;
  for (int round = 0; round < kMostRounds; ++round) {
    solid.section = section_from(silhouette, along, camera, centre, c);
    const Point next_centre = area_centroid(solid.section);
    const double next_c = prior.thickness ? c : 0.5 * prior.ratio * least_breadth(solid.section);
    const double change = (next_centre - centre).norm() + std::abs(next_c - c);
    centre = next_centre;
    c = next_c;
    if (!std::isfinite(change) || camera.z() < 2.5 * c) {
      return std::nullopt;
    }
    if (change < 1e-9 * breadth) {
      solid.centre = centre;
      solid.half_thickness = c;
      return solid;
    }
  }
  return std::nullopt;
}

}  // namespace maturity
