#pragma once

#include <cstdint>
#include <vector>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// A photo of full-size planes from an interleaved picture of three channels; `red_first`: RGB,
/// otherwise BGR.
Photo photo_from_picture(const ImageView& picture, bool red_first, const CameraFacts& facts,
                         std::vector<std::uint8_t> buffer);

/// Throws PhotoError for fewer than 32 pixels on a side or sides of 20 to 1 and more, PhotoTooLarge
/// for more than `max_megapixels`.
void check_photo_size(int width, int height, double max_megapixels);

}  // namespace maturity
