#pragma once

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Takes off what stands out of an outline at the stem: a scar, or the foot of a stem that was
/// trimmed and is too broad and low to look like one. Within 7.5 % of the length to either side the
/// outline is compared with the curve that it points to beyond; where it stands out by more than
/// 0.2 % of the length, that curve takes its place. A hollow is left as it is,
/// and so are its rims.
///
/// The reach is the one at which shoulders and hollow of 67 rendered fruit on 14 photos
/// (docs/method/shape-repeatability.md) follow their true sections best.
///
/// @param stem point on or near the outline; `length`: of the fruit, in the outline's unit.
/// @return whether anything was taken off.
bool take_off_stem_bump(Polygon& outline, const Point& stem, double length);

}  // namespace maturity
