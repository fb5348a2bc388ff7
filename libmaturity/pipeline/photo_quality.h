#pragma once

#include <optional>
#include <vector>

#include "libmaturity/core/flags.h"
#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Widths of edges from 10 to 90 %, px: of the sharpest marker of the board (its wider pair of
/// sides) and the median of the fruit. Empty where there is none.
struct EdgeWidths {
  std::optional<double> paper_px;
  std::optional<double> fruit_px;
};

/// Flags blurred, too_dark, overexposed of a photo, from the width of its fruit edges (empty
/// without fruit: then sharpness is not judged) and from the light on the whole photo and on the
/// fruit.
std::vector<PhotoFlag> judge_quality(const Photo& photo, const std::vector<Polygon>& fruit,
                                     const EdgeWidths& widths);

}  // namespace maturity
