#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// One harmonic of a closed contour: x(t) = a cos + b sin, y(t) = c cos + d sin of 2 pi n t / T.
struct Harmonic {
  double a = 0.0;
  double b = 0.0;
  double c = 0.0;
  double d = 0.0;
};

/// Elliptic Fourier coefficients of a closed polygon (its closing side included), harmonics 1 to
/// `count`, in the polygon's unit, t the length along the line from the first point, T the whole.
/// Kuhl F.P., Giardina C.R. (1982) "Elliptic Fourier features of a closed contour", Comput.
/// Graphics Image Process. 18:236-258 (formula read in public code).
/// Throws std::invalid_argument for fewer than 3 points, count 0, or no length.
std::vector<Harmonic> elliptic_fourier(const Polygon& polygon, std::size_t count);

/// The same coefficients with the start moved on by `phase` radians of the first harmonic.
std::vector<Harmonic> shifted(const std::vector<Harmonic>& harmonics, double phase);

/// Area from the coefficients: pi * sum n (a d - b c); counter-clockwise positive.
double fourier_area(const std::vector<Harmonic>& harmonics);

/// Highest harmonic used by the descriptors; beyond it edge noise weighs more than shape.
inline constexpr std::size_t kShapeHarmonics = 6;

/// Shape from the harmonics in the fruit frame, the start moved so that the first harmonic of x is
/// a pure cosine with its lowest value (the stem end) at the start: the frame comes from stem and
/// nose, never from the first harmonic, whose ellipse has no direction on round fruit.
/// All over the half-length of the first harmonic |a1|; no unit.
struct FourierShape {
  /// `fourier_taper`: d2, the width's second harmonic; positive on egg-like fruit, 0 on an ellipse.
  double taper = 0.0;
  /// `fourier_squareness`: d3; positive on boxy fruit, negative on spindles, near 0 on an ellipse
  /// (not exactly: t runs by arc length).
  double squareness = 0.0;
  /// `fourier_asymmetry`: root of the sum of b^2 + c^2 over harmonics 2 to 6: what differs between
  /// the two sides; 0 on an ellipse.
  double asymmetry = 0.0;
};

/// Coefficients of a framed outline with the sums from which gradients follow.
class FramedFourier {
 public:
  explicit FramedFourier(const FramedOutline& outline);

  const FourierShape& shape() const { return shape_; }
  void add_taper(EdgeGradient& gradient) const;
  void add_squareness(EdgeGradient& gradient) const;
  void add_asymmetry(EdgeGradient& gradient) const;

 private:
  /// Adds, over all points, the answer of sum_n (wa a_n + wb b_n + wc c_n + wd d_n).
  void add_weighted(EdgeGradient& gradient,
                    const std::array<Harmonic, kShapeHarmonics + 1>& weights) const;

  const FramedOutline& outline_;
  double phase_ = 0.0;
  std::array<Harmonic, kShapeHarmonics + 1> harmonics_;
  /// cos and sin of the start-shifted first harmonic at each point.
  std::vector<Point> turn_;
  FourierShape shape_;
  /// Directions of the sides, worked out with the first gradient.
  mutable std::vector<Point> sides_;
};

}  // namespace maturity
