#include "libmaturity/solid/invert_silhouette.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libmaturity/core/convex_hull.h"
#include "libmaturity/solid/flank.h"

namespace maturity {

namespace {

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

// A silhouette on the board with all that stays the same while the solid is sought.
struct Sighting {
  Polygon seen;
  Polygon along;
  Eigen::Vector3d camera;
};

Sighting sighting_of(const Polygon& silhouette, const Eigen::Vector3d& camera) {
  // Neighbours on each side: 2 % of the outline, about 6 mm on a fruit.
  return {silhouette, directions(silhouette, std::max<std::size_t>(1, silhouette.size() / 60)),
          camera};
}

// Point of the section below the line of sight i when that touches the flank at relative height h.
Point section_point(const Sighting& sighting, const FlankView& flank, const Point& centre,
                    std::size_t i, double h) {
  const Point foot = sighting.camera.head<2>();
  const double z = flank.half_thickness * (1.0 + h);
  const Point flat = foot + (sighting.seen[i] - foot) * (1.0 - z / flank.camera_height);
  return centre + (flat - centre) / flank.share(h);
}

// Section of the solid with this centre and half thickness. `heights` keeps the touching heights
// from round to round: each is one or two Newton steps from the last.
Polygon section_from(const Sighting& sighting, const FlankView& flank, const Point& centre,
                     std::vector<double>& heights) {
  const std::size_t n = sighting.seen.size();
  const Point foot = sighting.camera.head<2>();
  const Point d = centre - foot;
  Polygon section(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Point& e = sighting.along[i];
    const double turn = e.y() * d.x() - e.x() * d.y();
    const Point across = sighting.seen[i] - foot;
    double h = heights[i];
    constexpr int kMostSteps = 12;
    for (int k = 0; k < kMostSteps; ++k) {
      const FlankView::Lean at = flank.lean(h);
      const double sign = std::copysign(1.0, h);
      const double c = flank.half_thickness;
      // The section point from the centre, and its change with h.
      const Point flat = foot + across * (1.0 - c * (1.0 + h) / flank.camera_height) - centre;
      const Point q = flat / at.share;
      const Point q_change = (q * sign * at.lean - across * (c / flank.camera_height)) / at.share;
      const double w = e.x() * q.y() - e.y() * q.x();
      const double w_change = e.x() * q_change.y() - e.y() * q_change.x();
      const double up = flank.camera_height - c - c * h;
      const double f = c * (turn / w - at.share) + sign * at.lean * up;
      const double slope = c * (sign * at.lean - turn * w_change / (w * w)) +
                           sign * (at.lean_change * up - at.lean * c);
      if (!(std::abs(slope) > 0.0)) {
        break;
      }
      const double step = std::clamp(-f / slope, -0.2, 0.2);
      h = std::clamp(h + step, -0.95, 0.95);
      constexpr double kLastStep = 1e-3;  // its square is left: the steps are Newton's
      if (std::abs(step) < kLastStep) {
        break;
      }
    }
    heights[i] = h;
  }
  // At the corner of a beak the direction jumps and with it the height: neighbours would be carried
  // past each other. Heights change slowly everywhere else.
  const std::size_t reach = n / 90;
  for (std::size_t i = 0; i < n; ++i) {
    double h = 0.0;
    for (std::size_t k = 0; k <= 2 * reach; ++k) {
      h += heights[(i + n + k - reach) % n] / static_cast<double>(2 * reach + 1);
    }
    section[i] = section_point(sighting, flank, centre, i, h);
  }
  return section;
}

// Repeats section, centre and thickness until they stand still; `heights` of the touching points go
// in as guesses and come out as found. False when they do not stand still.
bool settle(const Sighting& sighting, const ThicknessPrior& prior, double tolerance,
            RestingSolid& solid, std::vector<double>& heights) {
  const double height = sighting.camera.z();
  constexpr int kMostRounds = 60;
  for (int round = 0; round < kMostRounds; ++round) {
    const FlankView flank{solid.half_thickness, height, prior.exponent};
    solid.section = section_from(sighting, flank, solid.centre, heights);
    const Point centre = area_centroid(solid.section);
    const double c =
        prior.thickness ? solid.half_thickness : 0.5 * prior.ratio * least_breadth(solid.section);
    const double change = (centre - solid.centre).norm() + std::abs(c - solid.half_thickness);
    solid.centre = centre;
    solid.half_thickness = c;
    if (!std::isfinite(change) || height < 2.5 * c) {
      return false;
    }
    if (change < tolerance) {
      return true;
    }
  }
  return false;
}

}  // namespace

double least_breadth(const Polygon& polygon) {
  const Polygon hull = convex_hull(polygon);
  const std::size_t n = hull.size();
  double least = std::numeric_limits<double>::infinity();
  // The point farthest from a side moves on round the hull as the side does (rotating calipers).
  std::size_t far = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const Point side = (hull[(i + 1) % n] - hull[i]).normalized();
    const auto height = [&](std::size_t k) {
      const Point p = hull[k % n] - hull[i];
      return std::abs(side.x() * p.y() - side.y() * p.x());
    };
    far = std::max(far, i + 1);  // both ends of the side lie on it
    while (far < i + n && height(far + 1) > height(far)) {
      ++far;
    }
    least = std::min(least, height(far));
  }
  return least;
}

std::optional<RestingSolid> invert_silhouette(const Polygon& silhouette,
                                              const Eigen::Vector3d& camera,
                                              const ThicknessPrior& prior,
                                              const std::optional<RestingSolid>& near) {
  if (silhouette.size() < 16 || !(camera.z() > 0.0)) {
    return std::nullopt;
  }
  RestingSolid solid;
  const double breadth = least_breadth(silhouette);
  if (near) {
    solid.centre = near->centre;
    solid.half_thickness = prior.thickness ? 0.5 * *prior.thickness : near->half_thickness;
  } else {
    // Start: the silhouette shrunk as if it were the widest section of a body of this breadth.
    const double c = 0.5 * prior.thickness.value_or(0.9 * prior.ratio * breadth);
    const Point foot = camera.head<2>();
    solid.centre = foot + (area_centroid(silhouette) - foot) * (1.0 - c / camera.z());
    solid.half_thickness = c;
  }
  const double c = solid.half_thickness;
  if (!(c > 0.0) || camera.z() < 3.0 * c) {
    return std::nullopt;
  }
  solid.exponent = prior.exponent;
  const auto first_guess = [&](std::size_t points) {
    return std::vector<double>(points, std::min(0.5, c / camera.z()));
  };
  // Centre and thickness need few points; the section is then made from all of them.
  constexpr std::size_t kFewPoints = 90;
  const std::size_t n = silhouette.size();
  std::vector<double> heights = first_guess(n);
  if (n > 2 * kFewPoints) {
    std::vector<double> few = first_guess(kFewPoints);
    if (!settle(sighting_of(resample_by_arc_length(silhouette, kFewPoints), camera), prior,
                1e-5 * breadth, solid, few)) {
      return std::nullopt;
    }
    for (std::size_t i = 0; i < n; ++i) {
      const double at = static_cast<double>(i * kFewPoints) / static_cast<double>(n);
      const auto k = static_cast<std::size_t>(at);
      const double part = at - static_cast<double>(k);
      heights[i] = (1.0 - part) * few[k] + part * few[(k + 1) % kFewPoints];
    }
  }
  if (!settle(sighting_of(silhouette, camera), prior, 1e-5 * breadth, solid, heights)) {
    return std::nullopt;
  }
  return solid;
}

}  // namespace maturity
