#include "libmaturity/pose/pose_evidence.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

/// Depth below the hull, over the length, at which a dent counts for certain.
constexpr double kClearDepth = 0.012;
/// Brings third moments, and areas, to the size of the other signs.
constexpr double kMomentUnit = 600.0;
constexpr double kAreaUnit = 20.0;

double saturating(double value) { return 2.0 * std::tanh(value / kClearDepth); }

/// Maxima and sums over the parts of the outline, all over the length; sides by the sign of y.
struct Parts {
  double hollow_stem = 0.0;
  double hollow_nose = 0.0;
  double dent_ventral = 0.0;
  double dent_dorsal = 0.0;
  double m30 = 0.0;
  double m21 = 0.0;
  double m12 = 0.0;
  double m03 = 0.0;
  double area_distal = 0.0;
  double area_proximal = 0.0;
};

void look_at_depth(Parts& parts, double x, double y, double depth) {
  if (std::abs(y) < 0.25) {
    if (x < 0.2) {
      parts.hollow_stem = std::max(parts.hollow_stem, depth);
    } else if (x > 0.8) {
      parts.hollow_nose = std::max(parts.hollow_nose, depth);
    }
  }
  if (x > 0.4) {
    double& dent = y > 0.0 ? parts.dent_ventral : parts.dent_dorsal;
    dent = std::max(dent, depth);
  }
}

/// The outline's third moments along and across the axis, over area^2 times length (no unit).
void turn_moments(Parts& parts, const OutlineTraits& traits, const StemBelief& belief) {
  const double c = belief.axis.x();
  const double s = belief.axis.y();
  const auto [xxx, xxy, xyy, yyy] = traits.third;
  const double unit = traits.area * traits.area * belief.length;
  parts.m30 = (c * c * c * xxx + 3.0 * c * s * (c * xxy + s * xyy) + s * s * s * yyy) / unit;
  parts.m21 = (-c * c * s * xxx + (c * c * c - 2.0 * c * s * s) * xxy +
               (2.0 * c * c * s - s * s * s) * xyy + c * s * s * yyy) /
              unit;
  parts.m12 = (c * s * s * xxx + (s * s * s - 2.0 * c * c * s) * xxy +
               (c * c * c - 2.0 * c * s * s) * xyy + c * c * s * yyy) /
              unit;
  parts.m03 = (-s * s * s * xxx + 3.0 * c * s * (s * xxy - c * xyy) + c * c * c * yyy) / unit;
}

Parts look_at(const OutlineTraits& traits, const StemBelief& belief) {
  Parts parts;
  const Point across(-belief.axis.y(), belief.axis.x());
  double low = 0.0;
  for (const Point& p : traits.points) {
    low = std::min(low, (p - traits.centre).dot(belief.axis));
  }
  const double length = belief.length;
  const double per_length = 1.0 / length;
  low *= per_length;
  const auto place = [&](std::size_t i) {
    const Point p = traits.points[i] - traits.centre;
    return Point(p.dot(belief.axis) * per_length, p.dot(across) * per_length);
  };
  const double per_area = length * length / traits.area;
  Point a = place(0);
  for (std::size_t i = 0; i < traits.size(); ++i) {
    look_at_depth(parts, a.x() - low, a.y(), traits.depth[i] * per_length);
    const Point b = place(i + 1 == traits.size() ? 0 : i + 1);
    // Area between the side and the axis line, counted for the side of the axis it lies on.
    const double middle = 0.5 * (a.y() + b.y());
    const double strip = (a.x() - b.x()) * std::abs(middle) * per_area;
    const double x = 0.5 * (a.x() + b.x()) - low;
    if (x > 0.7) {
      parts.area_distal += strip;
    } else if (x < 0.3) {
      parts.area_proximal += strip;
    }
    a = b;
  }
  turn_moments(parts, traits, belief);
  return parts;
}

/// One weight per sign, fitted as a logistic choice among the four poses of invented outlines with
/// errors of the edge as photos have them (docs/method/shape.md).
constexpr PoseSigns kWeights = {1.98,  -0.20, 0.59,  0.20,  -0.28, -0.57, -0.52, -0.27, 0.42,
                                3.58,  3.41,  1.40,  -0.99, -0.13, -0.24, -0.23, -0.21, -0.15,
                                -0.20, -0.48, -0.44, -0.39, -0.16, 0.21,  0.25,  0.06};

}  // namespace

PoseSigns pose_signs(const OutlineTraits& traits, const StemBelief& belief) {
  const Parts parts = look_at(traits, belief);
  const BendProfile profile = bend_profile(traits, belief);
  PoseSigns signs{};
  const auto set = [&](PoseSign sign, double value) {
    signs[static_cast<std::size_t>(sign)] = value;
  };
  const auto set_all = [&](PoseSign first, const auto& values) {
    std::copy(values.begin(), values.end(),
              signs.begin() + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(first)));
  };
  set(PoseSign::skew, kMomentUnit * parts.m30);
  set(PoseSign::broad, kMomentUnit * parts.m12);
  set(PoseSign::hollow, saturating(parts.hollow_stem - parts.hollow_nose));
  set_all(PoseSign::end_bends, profile.ends);
  set(PoseSign::sinus, saturating(parts.dent_ventral - parts.dent_dorsal));
  set(PoseSign::ends_side, kMomentUnit * parts.m21);
  set(PoseSign::middle_side, kMomentUnit * parts.m03);
  set(PoseSign::distal_area, kAreaUnit * parts.area_distal);
  set(PoseSign::proximal_area, kAreaUnit * parts.area_proximal);
  set_all(PoseSign::side_bends, profile.sides);
  set_all(PoseSign::swings, profile.swings);
  return signs;
}

PoseSigns other_side(const PoseSigns& signs) {
  PoseSigns other = signs;
  for (std::size_t i = kFirstSideSign; i < kPoseSigns; ++i) {
    other[i] *= -1.0;
  }
  return other;
}

double pose_log_odds(const PoseSigns& signs) {
  double sum = 0.0;
  for (std::size_t i = 0; i < kPoseSigns; ++i) {
    sum += kWeights[i] * signs[i];
  }
  return sum;
}

}  // namespace maturity
