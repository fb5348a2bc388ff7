#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// True when this build reads HEIC photos (libheif was there when it was built).
bool reads_heif();

/// Decodes the main picture of a HEIC/HEIF file (ISO/IEC 23008-12), upright as the file asks for.
/// Throws PhotoError: more pixels than max_megapixels, damaged, or a build without libheif.
Photo decode_heif(std::span<const std::uint8_t> bytes, double max_megapixels,
                  std::vector<std::uint8_t> buffer);

}  // namespace maturity
