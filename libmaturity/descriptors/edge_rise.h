#pragma once

#include <array>
#include <cstddef>
#include <optional>

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

/// Adds factor * d(height)/d(points).
void add_rise(EdgeGradient& gradient, const FramedOutline& outline, const EdgeRise& rise,
              double factor);

/// Many places with one window: the weights by distance are worked out once.
class EdgeRises {
 public:
  EdgeRises(const FramedOutline& outline, const RiseWindow& window);
  EdgeRise at(std::size_t i, const std::optional<LeftOut>& left_out = std::nullopt) const;

 private:
  const FramedOutline& outline_;
  RiseWindow window_;
  RiseWeights weights_;
};

}  // namespace maturity
