#pragma once

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// True when a fruit looks as if it was photographed from the side: light from above leaves the
/// lower part of the picture of the fruit, and the ground just below it, much darker than the upper
/// part and the background above it. Only asked where no marker tells how the phone was held. A low
/// sun from the upper edge of the photo looks alike: then it cannot be told and the answer is true.
/// `unit_px`: about 3 mm on the fruit.
bool may_be_seen_from_the_side(const Photo& photo, const Polygon& outline, double unit_px);

}  // namespace maturity
