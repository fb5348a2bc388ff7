#pragma once

#include "libmaturity/board/board.h"
#include "libmaturity/outline/outline.h"
#include "libmaturity/pipeline/measure_photo.h"
#include "libmaturity/pipeline/measurement.h"

namespace maturity {

/// From one silhouette to solid, pose, size and descriptors, with errors. `number` and flags of the
/// photo stage are set by the caller; `usable` is set here from the fruit's own flags.
FruitMeasurement measure_fruit(const FruitOutline& found, const BoardView& view,
                               const MeasureSettings& settings,
                               std::optional<double> known_thickness_mm);

}  // namespace maturity
