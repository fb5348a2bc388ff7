#pragma once

#include <optional>

#include "libmaturity/descriptors/beak.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// The sinus with the edge beside it: from the nose to the middle of the flank.
inline constexpr RiseWindow kSinusWindow{0.05, 0.10, 0.35};
/// The beak's own stretch, in L of arc to both sides: any beak makes a hollow beside itself under a
/// line that rests on its tip, and that hollow says nothing that the beak does not say.
inline constexpr double kBeakLeftOut = 0.08;

/// `sinus_depth`: greatest mean depth of the edge within 0.05 L of arc of a place 0.13 to 0.20 L
/// behind the beak, below the circle fitted to the edge from 0.10 to 0.35 L on both sides of it,
/// the 0.08 L on both sides of the beak left out; over L. No unit; about -0.03 to 0.05; 0 on a
/// circle; below 0 where that stretch bulges. NaN where no beak can be sought.
double measure_sinus_depth(const FramedOutline& outline, const std::optional<Beak>& beak,
                           EdgeGradient* gradient);

}  // namespace maturity
