// Any bytes as a photo file: a whole picture within the limit, or a PhotoError.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>

#include "libmaturity/photo/decode.h"
#include "tests/fuzz/require.h"

// NOLINTNEXTLINE(readability-identifier-naming): the name that libFuzzer calls
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using maturity::fuzz::require;
  constexpr double kMegapixels = 0.25;
  try {
    const maturity::Photo photo = maturity::decode(std::span(data, size), kMegapixels);
    const int w = photo.width();
    const int h = photo.height();
    require(w >= 32 && h >= 32, "at least 32 x 32 pixels");
    require(1e-6 * w * h <= kMegapixels, "no more pixels than allowed");
    for (const double x : {-3.0, 0.0, 0.5 * w, w - 1.0, w + 7.0}) {
      for (const double y : {-3.0, 0.0, 0.5 * h, h - 1.0, h + 7.0}) {
        for (const double value : photo.sample(maturity::Point(x, y))) {
          require(value >= 0.0 && value <= 255.0, "codes from 0 to 255");
        }
      }
    }
  } catch (const maturity::PhotoError& error) {
    require(error.what()[0] != '\0', "an error says what is wrong");
  }
  return 0;
}
