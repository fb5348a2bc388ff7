#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/outline/stem_stub.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Points beside a dent, on both sides, that are bridged with it.
inline constexpr std::size_t kDentMargin = 3;

/// Dents of an outline that are skin: at a rim seen at a grazing angle waxy skin mirrors what lies
/// beside the fruit, and where that is white paper the rim is no longer the colour of skin. A
/// mirror adds its light to all of red, green and blue, so between the dent and the curve that the
/// outline beyond points to the photo is lighter than the skin inside, by much the same in all
/// three, and lighter than the board outside. It is far from as light as what it mirrors: paper
/// that shows in a true hollow is. Else there is the board itself or a shadow: no lighter than the
/// board.
///
/// Limits: 268 dents of rendered photos (the sample season, photographed pairs, fruit with traits
/// independent of each other), 14 of them skin: 12 of those are given, none of the others. Of 2,700
/// outlines of the same fruit with white, grey, yellowish or brown patches painted into their true
/// hollows the rule makes 2 worse by more than 1.2 px and 38 better; without the upper bound on the
/// light, which was set on them, 26 and 38. Other things look alike where no edge follows: whoever
/// follows the edge below must see one there.
std::vector<Stub> find_rim_gloss(const Photo& photo, const Polygon& outline);

}  // namespace maturity
