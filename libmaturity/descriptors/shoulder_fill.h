#pragma once

#include <array>
#include <optional>

#include "libmaturity/descriptors/edge_gradient.h"
#include "libmaturity/descriptors/half_ellipse.h"

namespace maturity {

/// `shoulder_fill_ventral` (side +1), `shoulder_fill_dorsal` (side -1) and their mean
/// `shoulder_fill`: area of the shoulder, from 0.10 to 0.25 L behind the most proximal point on
/// that side of the axis, over the same part of the egg drawn through the flank, times 0.614185.
/// The egg's half-widths are an ellipse's of that length times a straight line along the axis; it
/// has the flank's areas from 0.32 to 0.46 L and from 0.46 to 0.60 L. No unit; about 0.5 to 0.75.
///
/// 0.614185 on an ellipse, as the plain area of the quarter over the rectangle 0.25 L x widest
/// half-width would be (used before), and on every such egg: the plain one answered to taper, the
/// axis beside the middle and the hollow as much as to the shoulder (docs/method/shape.md). NaN
/// where the flank narrows towards the stem so fast that no egg goes through it.
class ShoulderFills {
 public:
  explicit ShoulderFills(const FramedOutline& outline);

  double ventral() const { return sides_[0].fill; }
  double dorsal() const { return sides_[1].fill; }
  double mean() const { return 0.5 * (ventral() + dorsal()); }

  /// Adds factor * d(fill of that side)/d(points).
  void add(EdgeGradient& gradient, int side, double factor) const;
  void add_mean(EdgeGradient& gradient, double factor) const;

 private:
  struct Side {
    double fill = 0.0;
    /// Area of the egg over the shoulder's slice.
    double egg = 0.0;
  };

  void add_once(EdgeGradient& gradient, int side) const;

  const FramedOutline& outline_;
  std::array<Side, 2> sides_;
  /// Worked out the first time: four descriptors rest on them.
  mutable std::array<std::optional<EdgeSlopes>, 2> slopes_;
};

}  // namespace maturity
