#pragma once

#include <cstdint>
#include <span>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// What the file's header claims, read without decoding pixels.
struct FileHeader {
  int width = 0;
  int height = 0;
  CameraFacts facts;
};

/// Size and EXIF facts (orientation, time, 35 mm focal length) of a JPEG, PNG, TIFF or WebP file.
/// Damaged EXIF is treated as absent. Throws PhotoError when the bytes are not such a file.
FileHeader read_header(std::span<const std::uint8_t> bytes);

/// The facts in an EXIF block that begins with its TIFF header; none when it is damaged.
CameraFacts read_exif(std::span<const std::uint8_t> tiff);

}  // namespace maturity
