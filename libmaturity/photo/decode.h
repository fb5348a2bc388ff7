#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// Decodes a JPEG (once, straight to its planes), PNG, TIFF, WebP or, where libheif is
/// built in, HEIC file. `buffer` is memory to use
/// again, from Photo::release_buffer.
/// Throws PhotoError: not a photo, more pixels than max_megapixels (checked in the header, before
/// anything is decoded), or not whole (truncated or damaged pixel data).
Photo decode(std::span<const std::uint8_t> bytes, double max_megapixels,
             std::vector<std::uint8_t> buffer = {});

}  // namespace maturity
