#pragma once

#include <optional>
#include <vector>

#include "libmaturity/core/flags.h"
#include "libmaturity/core/polygon.h"

namespace maturity {

/// What the image stage saw of the stem, in the frame of the outline. All optional.
struct PoseEvidence {
  /// Where a stem or stub leaves the body outline.
  std::optional<Point> stem_base;
  /// Chance that stem_base is a real stem and not a leaf, a scratch or dirt; 0..1.
  double stem_base_probability = 0.9;
  /// A pose stated by a person; it wins over everything.
  std::optional<Point> given_stem;
  std::optional<Point> given_nose;
  std::optional<int> given_ventral_side;
};

/// Where the stem end, the nose and the beak side of an outline are, in the outline's own frame
/// (y down, as in upright pixels).
struct Pose {
  Point stem = Point::Zero();
  Point nose = Point::Zero();
  /// Unit vector of the body's long direction, from stem end to nose.
  Point axis = Point::UnitX();
  /// Sign of the z component of (nose - stem) x (beak - stem): +1, -1; 0 when unknown.
  int ventral_side = 0;
  /// Chance that stem and nose are not exchanged, 0.5..1.
  double axis_probability = 0.5;
  /// Chance that ventral_side is right, the doubt about the end included, 0.5..1; 0.5 when unknown.
  double side_probability = 0.5;
  std::vector<FruitFlag> flags;
};

}  // namespace maturity
