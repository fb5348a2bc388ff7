#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// Decodes a PNG (ISO/IEC 15948) of any depth; 16 bits are cut to 8, alpha is left away, of an
/// animated one the first picture is taken. Nothing is printed: what libpng finds wrong is in the
/// error.
/// Throws PhotoError: more pixels than max_megapixels (before any pixel is decoded), damaged, or
/// cut short; all checksums must hold.
Photo decode_png(std::span<const std::uint8_t> bytes, const CameraFacts& facts,
                 double max_megapixels, std::vector<std::uint8_t> buffer);

}  // namespace maturity
