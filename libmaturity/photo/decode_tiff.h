#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// Decodes the first picture of a TIFF (TIFF 6.0) to 8 bits, rows as stored; alpha is left away.
/// Nothing is printed: what libtiff finds wrong is in the error (libtiff before 4.5: only that it
/// is damaged). Throws PhotoError: more pixels than max_megapixels (before any pixel is decoded),
/// damaged, cut short, or of a kind that libtiff cannot turn into colours.
Photo decode_tiff(std::span<const std::uint8_t> bytes, const CameraFacts& facts,
                  double max_megapixels, std::vector<std::uint8_t> buffer);

}  // namespace maturity
