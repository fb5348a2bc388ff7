#pragma once

#include "libmaturity/descriptors/descriptors.h"

namespace maturity {

/// What a photo adds to a descriptor's error beyond the noise of its edge: standard deviation, in
/// the descriptor's unit. It holds what the edge noise cannot know: how the fruit lies, slow errors
/// of the edge in shadow and shine, what a stub hides.
///
/// Root mean square of the errors against the true widest section of 169 rendered fruit on 30
/// photos (tools/studies/repeatability and traits_in_photos), the edge noise taken off. On the
/// photos of the sample season, not used for it, errors against the true sections are 0.8 to 1.3
/// times what is stated with it, in the middle 0.96; with edge noise alone 2.9 in the middle
/// (docs/method/shape-repeatability.md).
double shot_sd(Descriptor descriptor);

}  // namespace maturity
