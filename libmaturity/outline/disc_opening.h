#pragma once

#include <cstdint>
#include <span>

namespace maturity {

/// Opens a mask (width * height, row by row; 0 or 255) with a disc of `radius` pixels in place:
/// what no disc within the mask covers is cleared. The disc's rows are as wide as round(sqrt(r^2 -
/// dy^2)) to either side; outside the mask nothing is set. Each pixel is compared once per row of
/// the disc, where a general structuring element takes one comparison per pixel of the disc: the
/// same result in a fraction of the time for large discs. \throws std::invalid_argument if the span
/// does not hold width * height pixels or the radius is not in 0..254.
void open_with_disc(std::span<std::uint8_t> mask, int width, int height, int radius);

}  // namespace maturity
