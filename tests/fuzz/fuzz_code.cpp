// Any text in a square code on a photo: read as it stands when it can be a tree card's, or not at
// all; and any bytes as a picture of a code.
#define ZX_USE_UTF8 1  // NOLINT(cppcoreguidelines-macro-usage)
#include <ZXing/BarcodeFormat.h>
#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <exception>
#include <string>
#include <vector>

#include "libmaturity/board/find_markers.h"
#include "libmaturity/board/read_code.h"
#include "libmaturity/photo/colour_field.h"
#include "tests/fuzz/require.h"

namespace {

constexpr int kModulePx = 2;

// A grey photo from the dark modules of a code, with a quiet rim.
maturity::Photo photo_of(const ZXing::BitMatrix& code) {
  constexpr int kRim = 6;
  const int width = kModulePx * (code.width() + 2 * kRim);
  const int height = kModulePx * (code.height() + 2 * kRim);
  const auto area = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
  std::vector<std::uint8_t> buffer(3 * area, 128);
  std::fill(buffer.begin(), buffer.begin() + static_cast<std::ptrdiff_t>(area), 235);
  for (int y = 0; y < kModulePx * code.height(); ++y) {
    for (int x = 0; x < kModulePx * code.width(); ++x) {
      if (code.get(x / kModulePx, y / kModulePx)) {
        const int at = (y + kModulePx * kRim) * width + x + kModulePx * kRim;
        buffer[static_cast<std::size_t>(at)] = 20;
      }
    }
  }
  maturity::Photo::Planes planes;
  planes.luma = {buffer.data(), width, height, width, 1};
  planes.blue = {buffer.data() + area, width, height, width, 1};
  planes.red = {buffer.data() + 2 * area, width, height, width, 1};
  return {std::move(buffer), planes, {}};
}

ZXing::BitMatrix code_of_bits(const std::uint8_t* data, std::size_t size) {
  constexpr int kSide = 25;
  ZXing::BitMatrix code(kSide, kSide);
  for (int i = 0; i < kSide * kSide && static_cast<std::size_t>(i / 8) < size; ++i) {
    code.set(i % kSide, i / kSide, ((data[i / 8] >> (i % 8)) & 1) != 0);
  }
  for (const auto [left, top] :
       {std::pair{0, 0}, std::pair{kSide - 7, 0}, std::pair{0, kSide - 7}}) {
    for (int y = 0; y < 7; ++y) {
      for (int x = 0; x < 7; ++x) {
        const int ring = std::max(std::abs(x - 3), std::abs(y - 3));
        code.set(left + x, top + y, ring != 2);
      }
    }
  }
  return code;
}

}  // namespace

// NOLINTNEXTLINE(readability-identifier-naming): the name that libFuzzer calls
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using maturity::fuzz::require;
  if (size < 2) {
    return 0;
  }
  maturity::Photo photo;
  if (data[0] % 4 == 0) {
    photo = photo_of(code_of_bits(data + 1, size - 1));
  } else {
    const std::string text(data + 1, data + size);
    try {
      ZXing::MultiFormatWriter writer(ZXing::BarcodeFormat::QRCode);
      photo = photo_of(writer.encode(text, 0, 0));
    } catch (const std::exception&) {
      return 0;  // longer than a code holds
    }
  }
  const auto read = maturity::read_code(photo, maturity::grey_field(photo, maturity::kMarkerSide));
  if (read) {
    require(!read->empty() && read->size() <= 200, "1 to 200 bytes");
    require(std::none_of(read->begin(), read->end(),
                         [](char c) { return static_cast<unsigned char>(c) < 32 || c == 127; }),
            "no control characters");
  }
  return 0;
}
