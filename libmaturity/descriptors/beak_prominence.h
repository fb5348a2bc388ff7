#pragma once

#include <optional>

#include "libmaturity/descriptors/beak.h"

namespace maturity {

/// `beak_prominence`: mean height of the edge within 0.04 L of arc of the beak (find_beak), above
/// the circle fitted to the edge from 0.08 to 0.24 L of arc on both sides of it, over L. No unit;
/// about -0.03 to 0.06; 0 on a circle; below 0 where the edge between nose and cheek is flatter
/// than around it. It orders broad and fading beaks too; the depth outside an opening by a disc,
/// used before, was 0 on most fruit. NaN where no beak can be sought.
double measure_beak_prominence(const FramedOutline& outline, const std::optional<Beak>& beak,
                               EdgeGradient* gradient);

}  // namespace maturity
