#include "tests/descriptors/curve_values.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

namespace maturity::shapes {
namespace {

template <typename Weight>
double half_circle_sum(double from, double to, Weight weight) {
  constexpr int kStrips = 200000;
  double sum = 0.0;
  for (int i = 0; i < kStrips; ++i) {
    const double x = from + (to - from) * (i + 0.5) / kStrips;
    sum += std::sqrt(x * (1.0 - x)) * weight(x);
  }
  return sum * (to - from) / kStrips;
}

}  // namespace

double half_circle_area(double from, double to) {
  return half_circle_sum(from, to, [](double) { return 1.0; });
}

double half_circle_moment(double from, double to) {
  return half_circle_sum(from, to, [](double x) { return x - 0.5; });
}

namespace {

using D = Descriptor;
using std::numbers::pi;

constexpr int kPlaces = 32768;

double cross_of(const Point& a, const Point& b) { return a.x() * b.y() - a.y() * b.x(); }

/// The curve at equal steps of arc, its centre of area at the origin.
class DenseCurve {
 public:
  DenseCurve(const std::function<Point(double)>& curve, double stem_share) {
    constexpr auto kFine = 8 * static_cast<std::size_t>(kPlaces);
    std::vector<Point> fine{curve(0.0)};
    std::vector<double> arc{0.0};
    for (std::size_t i = 1; i <= kFine; ++i) {
      fine.push_back(curve(static_cast<double>(i) / kFine));
      arc.push_back(arc.back() + (fine[i] - fine[i - 1]).norm());
    }
    perimeter = arc.back();
    step = perimeter / kPlaces;
    std::size_t k = 0;
    for (int i = 0; i < kPlaces; ++i) {
      while (arc[k + 1] <= i * step) {
        ++k;
      }
      const double share = (i * step - arc[k]) / (arc[k + 1] - arc[k]);
      points.emplace_back(fine[k] + share * (fine[k + 1] - fine[k]));
    }
    stem = static_cast<int>(std::lround(arc[static_cast<std::size_t>(stem_share * kFine)] / step));
    Point centre = Point::Zero();
    for (int i = 0; i < kPlaces; ++i) {
      const double twice = cross_of(at(i), at(i + 1));
      area += 0.5 * twice;
      centre += twice / 6.0 * (at(i) + at(i + 1));
    }
    centre /= area;
    for (Point& p : points) {
      p -= centre;
      low = std::min(low, p.x());
      high = std::max(high, p.x());
      ventral = std::max(ventral, p.y());
      dorsal = std::max(dorsal, -p.y());
    }
    length = high - low;
  }

  const Point& at(int i) const {
    return points[static_cast<std::size_t>((i % kPlaces + kPlaces) % kPlaces)];
  }
  int places(double share_of_length) const {
    return static_cast<int>(std::lround(share_of_length * length / step));
  }
  double along(int i) const { return (at(i).x() - low) / length; }

  /// Area between two shares of the length on one side of the axis (+1, -1).
  double slice(double from, double to, int side) const {
    double sum = 0.0;
    for (int i = 0; i < kPlaces; ++i) {
      const double y = side * 0.5 * (at(i).y() + at(i + 1).y());
      const double a = std::clamp(along(i), from, to);
      const double b = std::clamp(along(i + 1), from, to);
      sum += std::max(0.0, y) * side * (a - b) * length;
    }
    return sum;
  }
  double slice(double from, double to) const { return slice(from, to, 1) + slice(from, to, -1); }

  std::vector<Point> points;
  int stem = 0;
  double step = 0.0;
  double perimeter = 0.0;
  double area = 0.0;
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
  double length = 0.0;
  double ventral = 0.0;
  double dorsal = 0.0;
};

double beyond_limit(double distance, double limit) {
  return std::clamp((distance - limit) / 0.02 + 0.5, 0.0, 1.0);
}

/// RiseLimits of a stretch, in L: its own from `hole` to `core`, the edge beside it from `gap` to
/// `reach`.
struct RiseLimits {
  double core, gap, reach, hole;
};

/// Mean height of the curve at a place above the circle through the edge beside it, over L; edge
/// within 0.08 L of `without` does not count (none: below 0). Every `stride`th place is looked at.
double rise_at(const DenseCurve& c, int place, const RiseLimits& limits, int without = -1) {
  constexpr int kStride = 8;
  const int reach = c.places(limits.reach + 0.02) / kStride * kStride;
  const Point along = (c.at(place + reach) - c.at(place - reach)).normalized();
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  Eigen::Vector3d core = Eigen::Vector3d::Zero();
  double core_height = 0.0;
  double cores = 0.0;
  for (int k = -reach; k <= reach; k += kStride) {
    const Point d = (c.at(place + k) - c.at(place)) / c.length;
    const Eigen::Vector3d terms(1.0, d.dot(along), d.squaredNorm());
    const double height = cross_of(d, along);
    const double distance = std::abs(k) * c.step / c.length;
    double beside =
        beyond_limit(distance, limits.gap) * (1.0 - beyond_limit(distance, limits.reach));
    if (without >= 0) {
      const int apart = std::abs(place + k - without) % kPlaces;
      beside *= beyond_limit(std::min(apart, kPlaces - apart) * c.step / c.length, 0.08);
    }
    double own = 1.0 - beyond_limit(distance, limits.core);
    own *= limits.hole > 0.0 ? beyond_limit(distance, limits.hole) : 1.0;
    normal += beside * terms * terms.transpose();
    right += beside * height * terms;
    core += own * terms;
    core_height += own * height;
    cores += own;
  }
  return (core_height - core.dot(normal.ldlt().solve(right))) / cores;
}

const double kFillOfEllipse = 2.0 * (pi / 6.0 - std::sqrt(3.0) / 8.0);

double shoulder_fill_by_egg(const DenseCurve& c, int side) {
  // Half-widths sqrt(x (1 - x)) (p + q (x - 1/2)) with the flank's two areas.
  Eigen::Matrix2d flank;
  flank << half_circle_area(0.32, 0.46), half_circle_moment(0.32, 0.46),
      half_circle_area(0.46, 0.60), half_circle_moment(0.46, 0.60);
  const Eigen::Vector2d seen(c.slice(0.32, 0.46, side), c.slice(0.46, 0.60, side));
  const Eigen::Vector2d egg = flank.inverse() * seen;
  const double expected =
      egg(0) * half_circle_area(0.10, 0.25) + egg(1) * half_circle_moment(0.10, 0.25);
  return kFillOfEllipse * c.slice(0.10, 0.25, side) / expected;
}

/// Curvature averaged with triangular weights over that arc to both sides: mean direction after
/// the place less that before it, over the arc.
double smoothed_bend(const DenseCurve& c, int place, int window) {
  const auto heading = [&](int i) {
    const Point d = c.at(i + 1) - c.at(i);
    return std::atan2(d.y(), d.x());
  };
  const double here = heading(place);
  double sum = 0.0;
  for (int k = 0; k < window; ++k) {
    sum += std::remainder(heading(place + k) - here, 2.0 * pi);
    sum -= std::remainder(heading(place - 1 - k) - here, 2.0 * pi);
  }
  return sum / window / (window * c.step);
}

/// Largest distance of a place inside from the curve, by a search that halves its steps.
double largest_disc_inside(const DenseCurve& c) {
  const auto room = [&](const Point& centre) {
    double nearest = std::numeric_limits<double>::infinity();
    for (int i = 0; i < kPlaces; i += 16) {
      nearest = std::min(nearest, (c.at(i) - centre).norm());
    }
    return nearest;
  };
  Point best = Point::Zero();
  double reach = 0.2 * c.length;
  while (reach > 1e-5 * c.length) {
    Point better = best;
    for (int k = 0; k < 16; ++k) {
      const Point tried = best + reach * Point(std::cos(pi * k / 8.0), std::sin(pi * k / 8.0));
      better = room(tried) > room(better) ? tried : better;
    }
    best = better;
    reach *= 0.6;
  }
  return room(best);
}

double roundness_of_nose(const DenseCurve& c) {
  // The curve starts at the nose.
  const int reach = c.places(0.09);
  const Point along = (c.at(reach) - c.at(-reach)).normalized();
  const Point outward(along.y(), -along.x());
  double n = 0.0;
  double s2 = 0.0;
  double s4 = 0.0;
  double h = 0.0;
  double h2 = 0.0;
  double bounded = -std::numeric_limits<double>::infinity();
  for (int k = -kPlaces / 2; k < kPlaces / 2; ++k) {
    const Point d = c.at(k) - c.at(0);
    const double squared = d.squaredNorm();
    if (std::abs(k) <= reach) {
      n += 1.0;
      s2 += squared;
      s4 += squared * squared;
      h += d.dot(outward);
      h2 += d.dot(outward) * squared;
    } else if (std::abs(k) >= 2 * reach) {
      bounded = std::max(bounded, -2.0 * d.dot(outward) / squared);
    }
  }
  const double own = -2.0 * (n * h2 - s2 * h) / (n * s4 - s2 * s2);
  const double bend = 0.25 * std::max(0.0, own) + 0.75 * std::max(own, bounded);
  return 1.0 / (bend * largest_disc_inside(c));
}

void put_beak(const DenseCurve& c, Descriptors& d) {
  constexpr int kEvery = 32;
  std::vector<int> places;
  double sharpest = 0.0;
  for (int i = 0; i < kPlaces / 2; i += kEvery) {
    if (c.at(i).y() > 0.0 && c.along(i) > 0.55) {
      sharpest = std::max(sharpest, smoothed_bend(c, i, c.places(0.08)) * c.length);
      if (c.at(i).y() > 0.03 * c.length && c.along(i) < 0.97) {
        places.push_back(i);
      }
    }
  }
  d[D::beak_curvature] = sharpest;
  std::vector<double> heights;
  heights.reserve(places.size());
  for (const int i : places) {
    heights.push_back(rise_at(c, i, {0.04, 0.08, 0.24, 0.0}));
  }
  const double highest = *std::max_element(heights.begin(), heights.end());
  d[D::beak_prominence] = highest;
  // Where the beak is: the mean place, each weighed by its chance of being the highest on photos.
  double sum = 0.0;
  double mean = 0.0;
  for (std::size_t k = 0; k < places.size(); ++k) {
    const double chance = std::exp((heights[k] - highest) / 0.002);
    sum += chance;
    mean += chance * places[k];
  }
  const int beak = static_cast<int>(std::lround(mean / sum));
  double deepest = -std::numeric_limits<double>::infinity();
  for (int i = beak + c.places(0.13); i <= beak + c.places(0.20); i += kEvery) {
    deepest = std::max(deepest, -rise_at(c, i, {0.05, 0.10, 0.35, 0.0}, beak));
  }
  d[D::sinus_depth] = deepest;
}

/// Where the curve crosses y = height first, seen from the stem end.
double front_at(const DenseCurve& c, double height) {
  double front = std::numeric_limits<double>::infinity();
  for (int i = 0; i < kPlaces; ++i) {
    if ((c.at(i).y() <= height) != (c.at(i + 1).y() <= height)) {
      front = std::min(front, c.at(i).x());
    }
  }
  return front;
}

double asymmetry_about_axis(const DenseCurve& c) {
  constexpr int kStrips = 2048;
  const double strip = c.length / kStrips;
  std::vector<double> wider(kStrips, 0.0);
  for (int i = 0; i < kPlaces; ++i) {
    const Point& a = c.at(i);
    const Point& b = c.at(i + 1);
    // The middles of the strips between the two places.
    const auto first = std::ceil((std::min(a.x(), b.x()) - c.low) / strip - 0.5);
    for (auto k = static_cast<int>(first);
         k < kStrips && c.low + (k + 0.5) * strip < std::max(a.x(), b.x()); ++k) {
      const double share = (c.low + (k + 0.5) * strip - a.x()) / (b.x() - a.x());
      const double away = std::abs(a.y() + share * (b.y() - a.y()));
      wider[static_cast<std::size_t>(k)] += b.x() < a.x() ? away : -away;
    }
  }
  double sum = 0.0;
  for (const double one : wider) {
    sum += std::abs(one);
  }
  return 2.0 * strip * sum / c.area;
}

double hull_area(std::vector<Point> points) {
  std::sort(points.begin(), points.end(), [](const Point& a, const Point& b) {
    return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y());
  });
  double twice = 0.0;
  for (const int sense : {1, -1}) {
    std::vector<Point> chain;
    for (const Point& p : points) {
      while (chain.size() > 1 &&
             sense * cross_of(chain.back() - chain[chain.size() - 2], p - chain.back()) <= 0.0) {
        chain.pop_back();
      }
      chain.push_back(p);
    }
    for (std::size_t k = 1; k < chain.size(); ++k) {
      twice += sense * cross_of(chain[k - 1], chain[k]);
    }
  }
  return 0.5 * twice;
}

double turning_round_nose(const DenseCurve& c) {
  const int reach = c.places(0.03);
  double turned = pi;
  for (int i = 0; i < kPlaces; ++i) {
    if ((c.along(i) <= 0.75) != (c.along(i + 1) <= 0.75)) {
      const Point walk = c.at(i + reach) - c.at(i - reach);
      turned += walk.x() < 0.0 ? std::atan2(-walk.y(), -walk.x()) : -std::atan2(walk.y(), walk.x());
    }
  }
  return turned / pi;
}

void put_fourier(const DenseCurve& c, Descriptors& d) {
  const auto harmonic = [&](int n, double phase) {
    Eigen::Vector4d sums = Eigen::Vector4d::Zero();
    for (int i = 0; i < kPlaces; ++i) {
      const double t = n * (2.0 * pi * i / kPlaces - phase);
      sums += 2.0 / kPlaces *
              Eigen::Vector4d(c.at(i).x() * std::cos(t), c.at(i).x() * std::sin(t),
                              c.at(i).y() * std::cos(t), c.at(i).y() * std::sin(t));
    }
    return sums;
  };
  // The start is where x of the first harmonic is lowest.
  const Eigen::Vector4d first = harmonic(1, 0.0);
  const double phase = std::atan2(-first(1), -first(0));
  const double half_length = std::abs(harmonic(1, phase)(0));
  double squares = 0.0;
  for (int n = 2; n <= 6; ++n) {
    const Eigen::Vector4d one = harmonic(n, phase);
    squares += one(1) * one(1) + one(2) * one(2);
    if (n == 2) {
      // Walked from the stem, counter-clockwise, y first falls.
      d[D::fourier_taper] = -one(3) / half_length;
    }
    if (n == 3) {
      d[D::fourier_squareness] = -one(3) / half_length;
    }
  }
  d[D::fourier_asymmetry] = std::sqrt(squares) / half_length;
}

}  // namespace

Descriptors values_by_integration(const std::function<Point(double)>& curve, double stem_share) {
  const DenseCurve c(curve, stem_share);
  Descriptors d;
  const double width = c.ventral + c.dorsal;
  d[D::elongation] = c.length / width;
  d[D::shoulder_fill_ventral] = shoulder_fill_by_egg(c, +1);
  d[D::shoulder_fill_dorsal] = shoulder_fill_by_egg(c, -1);
  d[D::shoulder_fill] = 0.5 * (d[D::shoulder_fill_ventral] + d[D::shoulder_fill_dorsal]);
  d[D::stem_hollow] =
      -rise_at(c, c.stem, {0.11, 0.16, 0.31, 0.04}) - 0.06 * (d[D::shoulder_fill] - kFillOfEllipse);
  const Point& stem = c.at(c.stem);
  double rise_ventral = 0.0;
  double rise_dorsal = 0.0;
  for (const Point& p : c.points) {
    double& rise = p.y() > stem.y() ? rise_ventral : rise_dorsal;
    rise = std::max(rise, (stem.x() - p.x()) / c.length);
  }
  d[D::shoulder_rise_ventral] = rise_ventral;
  d[D::shoulder_rise_dorsal] = rise_dorsal;
  d[D::nose_fill] = kFillOfEllipse * c.slice(0.925, 1.0) / c.slice(0.60, 0.70) *
                    half_circle_area(0.60, 0.70) / half_circle_area(0.925, 1.0);
  d[D::nose_roundness] = roundness_of_nose(c);
  put_beak(c, d);
  d[D::end_balance] = (c.slice(0.2, 0.5) - c.slice(0.5, 0.8)) / c.area;
  d[D::cheek_asymmetry] = (c.ventral - c.dorsal) / width;
  d[D::shoulder_asymmetry] =
      (front_at(c, -0.5 * c.dorsal) - front_at(c, 0.5 * c.ventral)) / c.length;
  d[D::axis_asymmetry] = asymmetry_about_axis(c);
  d[D::circularity] = 4.0 * pi * c.area / (c.perimeter * c.perimeter);
  d[D::solidity] = c.area / hull_area(c.points);
  d[D::turning_nose] = turning_round_nose(c);
  put_fourier(c, d);
  return d;
}

}  // namespace maturity::shapes
