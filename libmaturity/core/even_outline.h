#pragma once

#include <cstddef>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// `count` points at equal steps of arc, each the mean of the line over one step (so that dense
/// noise averages out and no point of the input is skipped); turning from +x towards +y; starts at
/// the corner farthest from the centre of area, so that neither the start nor the direction of the
/// input matters. A curve of radius R comes out inside itself by step^2 / (24 R).
/// Throws std::invalid_argument for fewer than 3 points, count < 3, or no length.
Polygon even_outline(const Polygon& outline, std::size_t count);
/// The same with the outline's facts known already.
Polygon even_outline(const Polygon& outline, const PolygonFacts& facts, std::size_t count);

}  // namespace maturity
