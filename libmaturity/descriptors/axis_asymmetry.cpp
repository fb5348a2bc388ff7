#include "libmaturity/descriptors/axis_asymmetry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace maturity {

namespace {

constexpr std::size_t kStrips = 128;

/// A crossing of the outline with the middle of a strip: its y, the side it lies on and the share
/// along it.
struct Crossing {
  double value = 0.0;
  std::size_t side = 0;
  double share = 0.0;
};

using Crossings = std::array<Crossing, kStrips>;

/// Every crossing of the outline with the middle of a strip: the strip, the crossing (its y) and +1
/// where the inside lies below it, -1 where above.
template <typename Take>
void for_each_crossing(const FramedOutline& outline, double low, double strip, const Take& take) {
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline.points[i];
    const Point& b = outline.points[outline.next(i)];
    // Strip k has its middle at k + 1/2; those between the two ends are crossed.
    const double from = (std::min(a.x(), b.x()) - low) / strip - 0.5;
    const double to = (std::max(a.x(), b.x()) - low) / strip - 0.5;
    for (auto k = static_cast<std::size_t>(std::max(0.0, std::ceil(from)));
         k < kStrips && static_cast<double>(k) < to; ++k) {
      const double x = low + (static_cast<double>(k) + 0.5) * strip;
      const double share = (x - a.x()) / (b.x() - a.x());
      // Counter-clockwise: the inside is below sides that run towards -x.
      take(k, Crossing{a.y() + share * (b.y() - a.y()), i, share}, b.x() < a.x() ? 1.0 : -1.0);
    }
  }
}

/// By how much the upper side of each strip is broader than the lower one. `see` is shown every
/// crossing with its strip.
using Breadths = std::array<double, kStrips>;
template <typename See>
Breadths wider_by_strip(const FramedOutline& outline, const See& see) {
  Breadths wider{};
  const double low = outline.points[outline.most_proximal].x();
  const double strip = outline.length / static_cast<double>(kStrips);
  for_each_crossing(outline, low, strip, [&](std::size_t k, const Crossing& crossing, double sign) {
    wider[k] += sign * std::abs(crossing.value);
    see(k, crossing);
  });
  return wider;
}

double asymmetry_of(const FramedOutline& outline, const Breadths& wider) {
  double sum = 0.0;
  for (const double one : wider) {
    sum += std::abs(one);
  }
  return 2.0 * outline.length / static_cast<double>(kStrips) / outline.area * sum;
}

std::size_t strip_of(double x, double low, double strip) {
  return static_cast<std::size_t>(
      std::clamp((x - low) / strip, 0.0, static_cast<double>(kStrips - 1)));
}

/// Errors of the strips' asymmetries. Where one is near 0 its sign may come out either way: its
/// mean answer is less than 1, and its absolute value scatters.
class StripErrors {
 public:
  StripErrors(const EdgeGradient& gradient, const Crossings& upper, const Crossings& lower,
              const Breadths& wider)
      : gradient_(gradient), sides_{&upper, &lower} {
    const FramedOutline& outline = gradient.outline();
    const double low = outline.points[outline.most_proximal].x();
    const double strip = outline.length / static_cast<double>(kStrips);
    per_radian_.fill(0.0);
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Point& a = outline.points[i];
      const Point& b = outline.points[outline.next(i)];
      // What an edge sweeps as it turns about the centre; a flat end sweeps much in few strips.
      const double swept = 0.5 * (a.squaredNorm() - b.squaredNorm()) / strip;
      per_radian_[strip_of(0.5 * (a.x() + b.x()), low, strip)] +=
          a.y() + b.y() > 0.0 ? swept : -swept;
    }
    for (std::size_t k = 0; k < kStrips; ++k) {
      double squares = 0.0;
      for (std::size_t s = 0; s < 2; ++s) {
        // Up and down the edge moves more than across itself.
        constexpr double kSteepest = 0.2;
        const double across = std::abs(outline.normals[(*sides_[s])[k].side].y());
        lift_[s][k] = 1.0 / std::max(kSteepest, across);
        squares += lift_[s][k] * lift_[s][k];
      }
      by_turn_[k] = per_radian_[k] * gradient.turn_sd();
      const double sd = std::sqrt(squares * gradient.covariance(0) + by_turn_[k] * by_turn_[k]);
      // So many standard deviations from 0 a sign is sure.
      constexpr double kSure = 5.0;
      if (!(std::abs(wider[k]) < kSure * sd)) {
        sign_[k] = wider[k] > 0.0 ? 1.0 : -1.0;
        bend_[k] = 0.0;
        continue;
      }
      const double t = wider[k] / sd;
      sign_[k] = std::erf(t / std::numbers::sqrt2);
      bend_[k] = 2.0 * std::exp(-0.5 * t * t) / (std::sqrt(2.0 * std::numbers::pi) * sd);
    }
  }

  double sign(std::size_t k) const { return sign_[k]; }
  /// Change of a strip's asymmetry per radian by which the edge turns.
  double per_radian(std::size_t k) const { return per_radian_[k]; }

  /// Half of the sum of squares of second derivatives times covariances; without what turns all
  /// strips at once.
  double scatter() const {
    const FramedOutline& outline = gradient_.outline();
    double sum = 0.0;
    for (std::size_t k = 0; k < kStrips; ++k) {
      for (std::size_t j = k; bend_[k] > 0.0 && j < kStrips; ++j) {
        double covariance = 0.0;
        bool reached = false;
        for (std::size_t s = 0; s < 2; ++s) {
          const std::size_t steps = outline.steps_apart((*sides_[s])[k].side, (*sides_[s])[j].side);
          reached = reached || steps < gradient_.covariance_reach();
          covariance += lift_[s][k] * lift_[s][j] * gradient_.covariance(steps);
        }
        if (!reached) {
          break;
        }
        const double both = covariance * (covariance + 2.0 * by_turn_[k] * by_turn_[j]);
        sum += (j == k ? 0.5 : 1.0) * bend_[k] * bend_[j] * both;
      }
    }
    return sum;
  }

 private:
  const EdgeGradient& gradient_;
  std::array<const Crossings*, 2> sides_;
  std::array<std::array<double, kStrips>, 2> lift_;
  std::array<double, kStrips> per_radian_;
  std::array<double, kStrips> by_turn_;
  std::array<double, kStrips> sign_;
  std::array<double, kStrips> bend_;
};

/// What strips that only grow and shrink in place leave out as the axis turns: the edge of a flat
/// end moves from strip to strip. Nothing at no turn.
struct BendOfTurn {
  double slope = 0.0;
  double bend = 0.0;
};

/// The parabola through what is measured on the outline turned less and more.
template <typename Value>
BendOfTurn bend_of_turn(const PoseErrors& errors, const Value& strips_turned) {
  if (errors.turned().empty()) {
    return {};
  }
  const TurnedOutline& less = errors.turned().front();
  const TurnedOutline& more = errors.turned().back();
  // With both on one side, or one of them not turned, there is no telling.
  const double least = 0.3 * errors.turn_sd();
  if (!(less.turn < -least && more.turn > least)) {
    return {};
  }
  const auto per_turn = [&](const TurnedOutline& one) {
    return (measure_axis_asymmetry(one.outline, nullptr) - strips_turned(one.turn)) / one.turn;
  };
  const double by_less = per_turn(less);
  const double by_more = per_turn(more);
  BendOfTurn bend;
  bend.bend = (by_more - by_less) / (more.turn - less.turn);
  bend.slope = by_more - bend.bend * more.turn;
  return bend;
}

}  // namespace

double measure_axis_asymmetry(const FramedOutline& outline, EdgeGradient* gradient) {
  if (gradient == nullptr) {
    return asymmetry_of(outline, wider_by_strip(outline, [](std::size_t, const Crossing&) {}));
  }
  Crossings upper;
  Crossings lower;
  upper.fill({-std::numeric_limits<double>::infinity(), 0, 0.0});
  lower.fill({std::numeric_limits<double>::infinity(), 0, 0.0});
  const Breadths wider = wider_by_strip(outline, [&](std::size_t k, const Crossing& crossing) {
    if (crossing.value > upper[k].value) {
      upper[k] = crossing;
    }
    if (crossing.value < lower[k].value) {
      lower[k] = crossing;
    }
  });
  const double low = outline.points[outline.most_proximal].x();
  const double strip = outline.length / static_cast<double>(kStrips);
  const double by_strip = 2.0 * strip / outline.area;
  const double value = asymmetry_of(outline, wider);
  const StripErrors errors(*gradient, upper, lower, wider);
  // Area is what an edge sweeps as it moves: more or less of it by the side and the strip.
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const std::size_t j = outline.next(i);
    const Point along = outline.points[j] - outline.points[i];
    const Point middle = 0.5 * (outline.points[i] + outline.points[j]);
    const std::size_t k = strip_of(middle.x(), low, strip);
    const double factor = errors.sign(k) * (middle.y() > 0.0 ? 1.0 : -1.0) / outline.area;
    const Point swept = factor * Point(along.y(), -along.x());
    gradient->add(i, swept);
    gradient->add(j, swept);
  }
  gradient->add_scatter(by_strip * by_strip * errors.scatter());
  if (gradient->turn_sd() > 0.0) {
    const auto strips_turned = [&](double turn) {
      // The frame turns, the edge the other way.
      // Four sums side by side.
      std::array<double, 4> turned{};
      for (std::size_t k = 0; k < kStrips; k += turned.size()) {
        for (std::size_t j = 0; j < turned.size(); ++j) {
          turned[j] += std::abs(wider[k + j] - turn * errors.per_radian(k + j));
        }
      }
      return by_strip * (turned[0] + turned[1] + turned[2] + turned[3]);
    };
    const BendOfTurn bend = bend_of_turn(*gradient->pose(), strips_turned);
    gradient->set_turned(gradient->pose()->answer(
        [&](double turn) { return strips_turned(turn) + turn * (bend.slope + turn * bend.bend); }));
  }
  // An integral over x: moving the strips changes nothing to first order, the two ends close up.
  add_area(gradient, outline, -value / outline.area);
  return value;
}

}  // namespace maturity
