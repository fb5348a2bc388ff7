#pragma once

#include <optional>

#include "libmaturity/core/polygon.h"
#include "libmaturity/outline/outline.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Overall form of an outline; all but breadth free of scale.
struct OutlineForm {
  /// Area over that of the ellipse of equal second moments: 1 for an ellipse, 0.955 for any
  /// rectangle, 0.98 to 1 for mango.
  double ellipticity = 0.0;
  /// Longer over shorter axis of that ellipse.
  double elongation = 0.0;
  /// Shorter axis of that ellipse, in the outline's unit.
  double breadth = 0.0;
  /// Area over that of the convex hull.
  double solidity = 0.0;
};
OutlineForm form_of(const Polygon& outline);

/// What the checks need to know of the photo.
struct CheckContext {
  int width_px = 0;
  int height_px = 0;
  /// Yellow ratio of paper white in this light (see ColourField); 0 when there is none to see.
  double white_yellow = 0.0;
  std::optional<double> mm_per_px;
};

/// True for things that are plainly no mango: no edge around most of it, no skin colour,
/// four-cornered like a tag, long like a leaf or pen, narrower than any mango
/// (common practice, no source: bodies from 50 x 38 mm), round and red like an apple, round and
/// orange, or lemon yellow. The colour limits fit hard fruit as it comes from the tree, not ripe
/// fruit of every kind.
bool plainly_no_mango(const FruitOutline& fruit, const CheckContext& context);

/// Adds cut_by_frame, low_contrast, not_fruit_like and occluded where the outline itself shows it.
void flag_doubts(FruitOutline& fruit, const CheckContext& context);

/// About 3 mm on the fruit, in pixels, and the yellow ratio of paper white.
struct LeafSearch {
  double unit_px = 8.0;
  double white_yellow = 0.0;
};

/// True when leaf or other green and yellow matter lies against a stretch of the outline, other
/// than the neighbours given: it may hide part of the fruit.
bool leaf_at_edge(const Photo& photo, const Polygon& outline,
                  const std::vector<Polygon>& neighbours, const LeafSearch& search);

}  // namespace maturity
