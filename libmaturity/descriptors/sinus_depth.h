#pragma once

#include "libmaturity/descriptors/beak.h"
#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

/// Radius of the disc whose opening takes the beak off, over the length.
inline constexpr double kSinusDisc = 0.20;

/// `sinus_depth`: greatest depth of the ventral side, from 0.4 L to the nose, below the convex hull
/// of the outline without its beak, over L. The beak is first taken off where it sticks out of the
/// opening by a disc of radius 0.20 L (broader than for beak_prominence, so that broad beaks go
/// too): any beak makes a hollow beside itself under a hull that rests on its tip, and that hollow
/// says nothing that the beak does not say. No unit; 0 or more; 0 on an ellipse.
double measure_sinus_depth(const FramedOutline& outline, const Beak& beak, EdgeGradient* gradient);

}  // namespace maturity
