#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Stretches of arc to both sides of a place, in L: its own stretch reaches from `hole` to `core`,
/// the edge beside it goes from `gap` to `reach`. All limits are soft over 0.02 L, so that nothing
/// jumps when the length changes a little.
struct RiseWindow {
  double core = 0.0;
  double gap = 0.0;
  double reach = 0.0;
  /// What next to the place does not count.
  double hole = 0.0;
};

/// A stretch that does not count as edge beside a place: within `within` (in L) of a point.
struct LeftOut {
  std::size_t around = 0;
  double within = 0.0;
};

/// How high the edge stands at a place above the circle through the edge beside it (least squares;
/// a straight line is a circle too): the height of a beak, below 0 the depth of a hollow. It is
/// never stuck at a limit, and being a mean over a stretch it bears noise far better than a
/// greatest depth or a curvature. 0 on every circle.
struct EdgeRise {
  /// Mean height over the core, over L.
  double height = 0.0;
  std::size_t at = 0;
  RiseWindow window;
  std::optional<LeftOut> left_out;
};

/// Weights of the points around a place by their distance from it, the first one `reach` points
/// before it.
struct RiseWeights {
  static constexpr std::size_t kMostPoints = 257;
  std::ptrdiff_t reach = 0;
  std::size_t count = 0;
  /// The edge beside the place lies before `gap` and from count - gap on, its core from `core_from`
  /// to count - core_from.
  std::size_t gap = 0;
  std::size_t core_from = 0;
  std::array<double, kMostPoints> beside{};
  std::array<double, kMostPoints> core{};
};

/// A place between two neighbours: this share of the way from the first to the second.
struct RisePlace {
  EdgeRise first;
  EdgeRise second;
  double share = 0.0;
  double height() const { return first.height + share * (second.height - first.height); }
};

/// Adds factor * d(height of the highest)/d(points), any of the places being the highest with the
/// chance that edge errors give it; with `sign` -1 the lowest.
void add_highest(EdgeGradient& gradient, const FramedOutline& outline,
                 std::span<const RisePlace> places, double sign, double factor);

/// d(height) per unit of outward movement of each point of a stretch, which begins at `first`.
struct RiseAnswer {
  std::size_t first = 0;
  std::vector<double> by_normal;
};

/// Many places with one window: the weights by distance are worked out once.
class EdgeRises {
 public:
  EdgeRises(const FramedOutline& outline, const RiseWindow& window);
  EdgeRise at(std::size_t i, const std::optional<LeftOut>& left_out = std::nullopt) const;
  /// The place `steps` points after a point, between the points.
  RisePlace between(std::size_t i, double steps,
                    const std::optional<LeftOut>& left_out = std::nullopt) const;

  RiseAnswer answer_of(const EdgeRise& rise) const;
  /// Adds factor * d(height)/d(points).
  void add(EdgeGradient& gradient, const EdgeRise& rise, double factor) const;
  /// Distances, in points, over which places that compete may be alike.
  static constexpr std::size_t kMostLags = 24;
  /// Covariances of the heights of two places 0, 1, ... `lags` - 1 points apart, from that of one
  /// place.
  std::vector<double> covariances(const EdgeGradient& gradient, const EdgeRise& rise,
                                  std::size_t lags = kMostLags) const;

 private:
  const FramedOutline& outline_;
  RiseWindow window_;
  RiseWeights weights_;
};

}  // namespace maturity
