#pragma once

#include <array>
#include <cstddef>

#include "libmaturity/core/edge_noise.h"
#include "libmaturity/pose/outline_traits.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// How far edge errors turn the axis, and which turns are likely: radians from +x towards +y.
struct TurnSpread {
  static constexpr std::size_t kParts = 16;
  double mean = 0.0;
  double sd = 0.0;
  /// Fourth moment about the mean over the squared variance.
  double fourth_moment = 0.0;
  /// Middles of equally likely parts in rising order, with a mean of 0 and a variance of 1.
  std::array<double, kParts> parts{};
  /// Variance of the error at the nose over that of the error at any one place: the nose is where
  /// the edge stands out, and there errors differ less.
  double at_nose = 1.0;
};

/// What moves the axis beside the nose itself.
struct StemMoves {
  /// Standard error of the stem's own slide, in units of length, and its slide per radian by which
  /// the axis turned when it was first found.
  double sd = 0.0;
  double by_axis = 0.0;
};

/// A blunt nose is no parabola: the distance from the stem is level along a stretch and falls off
/// beyond, so the nose goes from bump to bump of the errors within that stretch and no farther, and
/// neither does it follow a stem that slides. So the search is done over in 512 fixed lines of
/// errors, the same at every call: stem, nose, stem with that axis, nose. `nose_sd`: how far the
/// nose slides by the parabola (`nose_slide.h`), one standard deviation, in units of length; the
/// edge is looked at to four and a half of that on both sides.
TurnSpread turn_on_blunt_nose(const OutlineTraits& traits, const Pose& pose, const StemMoves& stem,
                              double nose_sd, const EdgeNoise& noise);

}  // namespace maturity
