#pragma once

#include <optional>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/outline/outline.h"
#include "libmaturity/photo/colour_field.h"
#include "libmaturity/photo/photo.h"
#include "libmaturity/photo/time_limit.h"

namespace maturity {

/// What is known of the photo before fruit are looked for.
struct FruitSearch {
  /// Of the board surface; bounds the size of a fruit when known.
  std::optional<double> mm_per_px;
  /// Places that cannot be fruit (markers, tiles), upright pixels.
  std::vector<Polygon> excluded;
  /// Corners of square markers with a white rim, clockwise on screen: their paper tells the light.
  std::vector<Polygon> white_rimmed;
  /// Asked at every level of the search and before each fruit; by default there is none.
  TimeLimit time;
};

/// All fruit of the photo, whole or not, each with its flags; leaves, tags, pens, coins and other
/// things that are plainly no mango are left out. In no particular order. Throws PhotoTimeUp.
struct FoundFruit {
  std::vector<FruitOutline> fruit;
  /// Median width of the fruit edges, px; empty without fruit. Tells a blurred photo.
  std::optional<double> edge_width_px;
};
FoundFruit find_fruit(const Photo& photo, const FruitSearch& search);

/// Longer side of the small copy that fruit are sought on, px.
inline constexpr int kFruitFieldSide = 800;

/// The same with that copy at hand: colour_field(photo, kFruitFieldSide).
FoundFruit find_fruit(const Photo& photo, const ColourField& field, const FruitSearch& search);

}  // namespace maturity
