#pragma once

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Height, relative to the half thickness and measured from the widest section (-1..1), at which a
/// line of sight touches the flank of a resting solid.
///
/// At relative height h the section is shrunk about the centre to r, with r^p + |h|^p = 1 (p = 2:
/// an ellipsoid). With e the direction of the outline there, q the arm from centre to section
/// point, d the centre seen from the camera's foot, c the half thickness and H the camera height,
/// the tangent plane through the camera gives
///     c (D/w - r) + sign(h) (|h|/r)^(p-1) (H - c - c h) = 0,   D = d x e, w = e x q  (z parts),
/// which for p = 2 is the tangent cone of the ellipsoid.
struct FlankView {
  double half_thickness = 0.0;
  double camera_height = 0.0;
  double exponent = 2.0;

  /// Share r of the section at relative height h.
  double share(double h) const;
  /// At relative height h: the share r, (|h|/r)^(p-1), and how the latter changes with h (r itself
  /// changes by minus sign(h) times it).
  struct Lean {
    double share = 1.0;
    double lean = 0.0;
    double lean_change = 0.0;
  };
  Lean lean(double h) const;
  /// Left side of the condition above, with D/w given.
  double residual(double h, double d_over_w) const;
  /// Touching height for a known section point: D/w given. Newton kept inside a bracket.
  double touching_height(double d_over_w) const;
};

}  // namespace maturity
