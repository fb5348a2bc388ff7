#include "libmaturity/pose/pose_evidence.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

/// Depth below the hull, over the length, at which a dent counts for certain; bends alike.
constexpr double kClearDepth = 0.012;
constexpr double kClearBend = 5.0;

double saturating(double value, double clear) { return 2.0 * std::tanh(value / clear); }

struct Part {
  double widest_ventral = 0.0;
  double widest_dorsal = 0.0;
};

/// Maxima over the parts of the outline, all over the length.
struct Parts {
  Part shoulder;
  Part nose;
  double hollow_stem = 0.0;
  double hollow_nose = 0.0;
  double sharpest_distal = 0.0;
  double sharpest_proximal = 0.0;
  double dent_distal_ventral = 0.0;
  double dent_distal_dorsal = 0.0;
  double dent_proximal = 0.0;
  double bend_ventral = 0.0;
  double bend_dorsal = 0.0;
  double least_bend_ventral = 0.0;
  double least_bend_dorsal = 0.0;
  double top = 0.0;
  double bottom = 0.0;
  double m30 = 0.0;
  double m21 = 0.0;
  double m12 = 0.0;
  double m03 = 0.0;
  double area_distal = 0.0;
  double area_proximal = 0.0;
};

void look_at_point(Parts& parts, double x, double y, double bend, double depth) {
  parts.top = std::max(parts.top, y);
  parts.bottom = std::min(parts.bottom, y);
  if (x > 0.1 && x < 0.25) {
    parts.shoulder.widest_ventral = std::max(parts.shoulder.widest_ventral, y);
    parts.shoulder.widest_dorsal = std::max(parts.shoulder.widest_dorsal, -y);
  } else if (x > 0.75 && x < 0.9) {
    parts.nose.widest_ventral = std::max(parts.nose.widest_ventral, y);
    parts.nose.widest_dorsal = std::max(parts.nose.widest_dorsal, -y);
  }
  if (std::abs(y) < 0.25) {
    if (x < 0.2) {
      parts.hollow_stem = std::max(parts.hollow_stem, depth);
    } else if (x > 0.8) {
      parts.hollow_nose = std::max(parts.hollow_nose, depth);
    }
  }
  if (x > 0.6) {
    parts.sharpest_distal = std::max(parts.sharpest_distal, bend);
  } else if (x < 0.4) {
    parts.sharpest_proximal = std::max(parts.sharpest_proximal, bend);
  }
  if (x < 0.6) {
    parts.dent_proximal = std::max(parts.dent_proximal, depth);
  }
  if (x > 0.4) {
    double& dent = y > 0.0 ? parts.dent_distal_ventral : parts.dent_distal_dorsal;
    dent = std::max(dent, depth);
  }
  if (x > 0.5) {
    if (y > 0.04) {
      parts.bend_ventral = std::max(parts.bend_ventral, bend);
      parts.least_bend_ventral = std::min(parts.least_bend_ventral, bend);
    } else if (y < -0.04) {
      parts.bend_dorsal = std::max(parts.bend_dorsal, bend);
      parts.least_bend_dorsal = std::min(parts.least_bend_dorsal, bend);
    }
  }
}

Parts look_at(const OutlineTraits& traits, const StemBelief& belief) {
  Parts parts;
  const Point across(-belief.axis.y(), belief.axis.x());
  double low = 0.0;
  for (const Point& p : traits.points) {
    low = std::min(low, (p - traits.centre).dot(belief.axis));
  }
  const double length = belief.length;
  const auto place = [&](std::size_t i) {
    const Point p = traits.points[i] - traits.centre;
    return Point(p.dot(belief.axis) / length, p.dot(across) / length);
  };
  const double area = traits.area / (length * length);
  Point a = place(0);
  for (std::size_t i = 0; i < traits.size(); ++i) {
    look_at_point(parts, a.x() - low / length, a.y(), traits.bend[i] * length,
                  traits.depth[i] / length);
    const Point b = place(i + 1 == traits.size() ? 0 : i + 1);
    // Triangle from the centre: its third moments from its three corners (exact).
    const double w = (a.x() * b.y() - b.x() * a.y()) / 20.0;
    parts.m30 += w * (a.x() + b.x()) * (a.x() * a.x() + b.x() * b.x());
    parts.m03 += w * (a.y() + b.y()) * (a.y() * a.y() + b.y() * b.y());
    parts.m21 +=
        w / 3.0 *
        (3.0 * a.x() * a.x() * a.y() + 3.0 * b.x() * b.x() * b.y() +
         2.0 * a.x() * b.x() * (a.y() + b.y()) + a.x() * a.x() * b.y() + b.x() * b.x() * a.y());
    parts.m12 +=
        w / 3.0 *
        (3.0 * a.y() * a.y() * a.x() + 3.0 * b.y() * b.y() * b.x() +
         2.0 * a.y() * b.y() * (a.x() + b.x()) + a.y() * a.y() * b.x() + b.y() * b.y() * a.x());
    const double strip = -(b.x() - a.x()) * 0.5 * (a.y() + b.y());
    const double signed_strip = a.y() + b.y() > 0.0 ? strip : -strip;
    const double x = 0.5 * (a.x() + b.x()) - low / length;
    if (x > 0.7) {
      parts.area_distal += signed_strip / area;
    } else if (x < 0.3) {
      parts.area_proximal += signed_strip / area;
    }
    a = b;
  }
  const double norm = area * area;
  parts.m30 /= norm;
  parts.m21 /= norm;
  parts.m12 /= norm;
  parts.m03 /= norm;
  return parts;
}

/// One weight per PoseSign, fitted as a logistic choice among the four poses of invented outlines.
constexpr PoseSigns kWeights = {0.20, 1.09, 1.25, 0.65,  1.38, 0.31, 0.72, 1.02,
                                2.47, 1.78, 1.45, -0.10, 1.02, 0.58, -0.20};

}  // namespace

PoseSigns pose_signs(const OutlineTraits& traits, const StemBelief& belief,
                     const StemBelief& other_end) {
  const Parts parts = look_at(traits, belief);
  PoseSigns signs{};
  const auto set = [&](PoseSign sign, double value) {
    signs[static_cast<std::size_t>(sign)] = value;
  };
  const double width = parts.top - parts.bottom;
  set(PoseSign::breadth, 3.0 *
                             (parts.shoulder.widest_ventral + parts.shoulder.widest_dorsal -
                              parts.nose.widest_ventral - parts.nose.widest_dorsal) /
                             width);
  set(PoseSign::skew, 600.0 * parts.m30);
  set(PoseSign::hollow, saturating(parts.hollow_stem - parts.hollow_nose, kClearDepth));
  const auto bend_at = [&](const StemBelief& end) {
    const auto k = static_cast<std::ptrdiff_t>(std::lround(end.mean));
    return traits.bend[traits.at(end.first, k)] * belief.length;
  };
  set(PoseSign::flat_stem, saturating(bend_at(other_end) - bend_at(belief), 3.0));
  set(PoseSign::sharp_end, saturating(parts.sharpest_distal - parts.sharpest_proximal, 6.0));
  const double dent_distal = std::max(parts.dent_distal_ventral, parts.dent_distal_dorsal);
  set(PoseSign::distal_dent, saturating(dent_distal - parts.dent_proximal, kClearDepth));
  set(PoseSign::sinus,
      saturating(parts.dent_distal_ventral - parts.dent_distal_dorsal, kClearDepth));
  set(PoseSign::beak_bend, saturating(parts.bend_ventral - parts.bend_dorsal, kClearBend));
  set(PoseSign::uneven, saturating(parts.least_bend_dorsal - parts.least_bend_ventral, kClearBend));
  set(PoseSign::ends_side, 600.0 * parts.m21);
  set(PoseSign::middle_side, 600.0 * parts.m03);
  set(PoseSign::mixed, 600.0 * parts.m12);
  const Point across(-belief.axis.y(), belief.axis.x());
  set(PoseSign::stem_beside, 10.0 * (belief.stem - traits.centre).dot(across) / belief.length);
  set(PoseSign::distal_area, 20.0 * parts.area_distal);
  set(PoseSign::proximal_area, 20.0 * parts.area_proximal);
  return signs;
}

PoseSigns other_side(const PoseSigns& signs) {
  PoseSigns other = signs;
  for (const PoseSign sign : {PoseSign::sinus, PoseSign::beak_bend, PoseSign::uneven,
                              PoseSign::ends_side, PoseSign::middle_side, PoseSign::stem_beside,
                              PoseSign::distal_area, PoseSign::proximal_area}) {
    other[static_cast<std::size_t>(sign)] *= -1.0;
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
