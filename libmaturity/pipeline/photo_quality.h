#pragma once

#include <optional>
#include <vector>

#include "libmaturity/core/flags.h"
#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Flags blurred, too_dark, overexposed of a photo, from the width of its fruit edges (empty
/// without fruit: then sharpness is not judged) and from the light on the whole photo and on the
/// fruit.
std::vector<PhotoFlag> judge_quality(const Photo& photo, const std::vector<Polygon>& fruit,
                                     std::optional<double> edge_width_px);

}  // namespace maturity
