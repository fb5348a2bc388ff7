#pragma once

#include "libmaturity/core/polygon.h"
#include "libmaturity/pose/pose.h"

namespace maturity {

/// Below this chance of being right an end or a side is not taken for known.
inline constexpr double kPoseCertain = 0.7;

/// Which end of an outline is the stem end, where the nose is, on which side the beak.
///
/// `outline`: closed polygon of the body without stem, y down, any unit, any start and direction,
/// at least 16 points. `evidence` in the same frame.
///
/// The four possible poses (two ends, two sides) are weighed by evidence that is summed as log
/// odds: the stem seen in the photo, a hollow at one end, the breadth of the two ends, the
/// asymmetry of the distal end with its beak and sinus, sharpness of bends. The weights come from
/// invented outlines of a wide range of shapes (docs/method/shape.md). A pose stated by a person
/// wins over everything.
///
/// ventral_side is 0 when its probability is below kPoseCertain; the flag pose_uncertain is set
/// when either probability is. A fruit without any beak is symmetric: its side cannot be told and
/// need not be, its ends may still be certain: look at axis_probability.
///
/// Throws std::invalid_argument for fewer than 16 points, zero area, a value that is not finite, a
/// side other than -1, 0, +1, or a probability outside 0..1.
Pose find_pose(const Polygon& outline, const PoseEvidence& evidence);

}  // namespace maturity
