#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// A photo that cannot be used at all; the message says why in a sentence and names no file.
class PhotoError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// A photo that claims more pixels than the caller allows: with a higher limit it may be read.
class PhotoTooLarge : public PhotoError {
 public:
  using PhotoError::PhotoError;
};

/// Pixels that someone else owns: 8 bits a channel, rows `stride` bytes apart.
struct ImageView {
  const std::uint8_t* data = nullptr;
  int width = 0;
  int height = 0;
  std::ptrdiff_t stride = 0;
  int channels = 1;
};

/// What the file says of the camera. Absent entries are not known.
struct CameraFacts {
  /// EXIF orientation, 1..8; 1 when not stated or out of range.
  int orientation = 1;
  /// "YYYY-MM-DDTHH:MM:SS", local time of the phone.
  std::optional<std::string> taken_at;
  /// Focal length of a lens with the same view on 24 x 36 mm film, mm.
  std::optional<double> focal_35mm;
};

/// One decoded photo: luminance at full size and two colour planes (full, half or other size), as
/// stored in the file. Everything outside this class speaks upright pixels: x right, y down, (0,0)
/// the centre of the top-left pixel after turning by the EXIF orientation.
class Photo {
 public:
  /// Planes in one buffer. `colour_shrink_x/y`: how many luminance pixels one colour pixel spans.
  struct Planes {
    ImageView luma;
    ImageView blue;
    ImageView red;
    int colour_shrink_x = 1;
    int colour_shrink_y = 1;
  };

  Photo() = default;
  Photo(std::vector<std::uint8_t> buffer, const Planes& planes, CameraFacts facts);

  /// Upright size in pixels.
  int width() const;
  int height() const;
  const CameraFacts& facts() const { return facts_; }
  const Planes& planes() const { return planes_; }

  /// Turned by a quarter: width and height change places.
  bool sideways() const { return facts_.orientation >= 5; }
  /// Upright pixel position to the position in the stored planes (luminance pixels).
  Point stored_from_upright(const Point& upright) const;

  /// Luminance, blue difference, red difference (0..255, bilinear) at an upright position;
  /// positions beyond the edge read the edge.
  std::array<double, 3> sample(const Point& upright) const;
  double sample_luma(const Point& upright) const;
  /// Luminance of an upright pixel; the pixel must lie on the photo.
  std::uint8_t luma_code(int x, int y) const;
  /// Blue difference and red difference of `sample`.
  std::array<double, 2> sample_colour(const Point& upright) const;

  /// The four luminance pixels around an upright position and their bilinear weights.
  struct LumaCell {
    std::array<double, 4> luma;
    std::array<double, 4> weight;
  };
  LumaCell luma_cell(const Point& upright) const;

  /// Gives the buffer back for the next photo; the photo is empty afterwards.
  std::vector<std::uint8_t> release_buffer();

 private:
  std::vector<std::uint8_t> buffer_;
  Planes planes_;
  CameraFacts facts_;
};

}  // namespace maturity
