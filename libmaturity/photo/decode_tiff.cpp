#include "libmaturity/photo/decode_tiff.h"

#include <tiffio.h>

#include <algorithm>
#include <array>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <memory>
#include <string>
#include <utility>

#include "libmaturity/photo/photo_planes.h"

namespace maturity {

namespace {

constexpr std::size_t kLongestTiffText = 160;

// The file in memory, as libtiff reads it, and the first thing found wrong with it.
struct TiffSource {
  std::span<const std::uint8_t> bytes;
  std::uint64_t at = 0;
  std::string message;
};

TiffSource& source_of(thandle_t handle) { return *static_cast<TiffSource*>(handle); }

tmsize_t read_part(thandle_t handle, void* to, tmsize_t count) {
  TiffSource& source = source_of(handle);
  const std::uint64_t size = source.bytes.size();
  if (source.at >= size || count <= 0) {
    return 0;
  }
  const auto part = std::min<std::uint64_t>(static_cast<std::uint64_t>(count), size - source.at);
  std::memcpy(to, source.bytes.data() + source.at, part);
  source.at += part;
  return static_cast<tmsize_t>(part);
}

tmsize_t write_nothing(thandle_t /*handle*/, void* /*from*/, tmsize_t /*count*/) { return 0; }

toff_t seek(thandle_t handle, toff_t offset, int from) {
  TiffSource& source = source_of(handle);
  source.at = offset + (from == SEEK_CUR   ? source.at
                        : from == SEEK_END ? source.bytes.size()
                                           : std::uint64_t{0});
  return source.at;
}

int close_nothing(thandle_t /*handle*/) { return 0; }

toff_t size_of(thandle_t handle) { return source_of(handle).bytes.size(); }

struct TiffCloser {
  void operator()(TIFF* tiff) const { TIFFClose(tiff); }
};
using TiffFile = std::unique_ptr<TIFF, TiffCloser>;

#if TIFFLIB_VERSION >= 20221213  // 4.5.0: handlers and limits of one file

int keep_first_error(TIFF* /*tiff*/, void* user, const char* /*module*/, const char* format,
                     va_list values) {
  std::string& message = static_cast<TiffSource*>(user)->message;
  if (message.empty()) {
    std::array<char, kLongestTiffText> text{};
    std::vsnprintf(text.data(), text.size(), format, values);
    message = text.data();
  }
  return 1;
}

int ignore(TIFF* /*tiff*/, void* /*user*/, const char* /*module*/, const char* /*format*/,
           va_list /*values*/) {
  return 1;
}

TiffFile open_tiff(TiffSource& source, double max_megapixels) {
  constexpr double kBytesPerPixel = 32.0;  // four samples of 64 bits
  const std::unique_ptr<TIFFOpenOptions, decltype(&TIFFOpenOptionsFree)> options(
      TIFFOpenOptionsAlloc(), &TIFFOpenOptionsFree);
  TIFFOpenOptionsSetMaxSingleMemAlloc(
      options.get(), static_cast<tmsize_t>(1e6 * (1.0 + kBytesPerPixel * max_megapixels)));
  TIFFOpenOptionsSetErrorHandlerExtR(options.get(), keep_first_error, &source);
  TIFFOpenOptionsSetWarningHandlerExtR(options.get(), ignore, nullptr);
  return TiffFile(TIFFClientOpenExt("photo", "rm", &source, read_part, write_nothing, seek,
                                    close_nothing, size_of, nullptr, nullptr, options.get()));
}

#else

TiffFile open_tiff(TiffSource& source, double /*max_megapixels*/) {
  static const bool kQuiet = [] {  // for the whole program: there is no other way
    TIFFSetErrorHandler(nullptr);
    TIFFSetWarningHandler(nullptr);
    return true;
  }();
  static_cast<void>(kQuiet);
  return TiffFile(TIFFClientOpen("photo", "rm", &source, read_part, write_nothing, seek,
                                 close_nothing, size_of, nullptr, nullptr));
}

#endif

[[noreturn]] void refuse(const TiffSource& source) {
  const std::string why = source.message.empty() ? "" : " (" + source.message + ")";
  throw PhotoError("The TIFF is damaged or cut short" + why + ": copy it again.");
}

}  // namespace

Photo decode_tiff(std::span<const std::uint8_t> bytes, const CameraFacts& facts,
                  double max_megapixels, std::vector<std::uint8_t> buffer) {
  TiffSource source{bytes, 0, {}};
  const TiffFile tiff = open_tiff(source, max_megapixels);
  std::uint32_t width = 0;
  std::uint32_t height = 0;
  if (!tiff || TIFFGetField(tiff.get(), TIFFTAG_IMAGEWIDTH, &width) != 1 ||
      TIFFGetField(tiff.get(), TIFFTAG_IMAGELENGTH, &height) != 1 || width > INT32_MAX ||
      height > INT32_MAX) {
    refuse(source);
  }
  check_photo_size(static_cast<int>(width), static_cast<int>(height), max_megapixels);
  std::array<char, 1024> why{};
  if (TIFFRGBAImageOK(tiff.get(), why.data()) != 1) {
    source.message = why.data();
    refuse(source);
  }
  // The file's own orientation asks for its rows as stored.
  std::uint16_t orientation = ORIENTATION_TOPLEFT;
  TIFFGetFieldDefaulted(tiff.get(), TIFFTAG_ORIENTATION, &orientation);
  const auto area = static_cast<std::size_t>(width) * height;
  std::vector<std::uint32_t> packed(area);
  if (TIFFReadRGBAImageOriented(tiff.get(), width, height, packed.data(), orientation, 1) != 1 ||
      !source.message.empty()) {
    refuse(source);
  }
  auto* rgb = reinterpret_cast<std::uint8_t*>(packed.data());  // NOLINT: narrowed in place
  for (std::size_t i = 0; i < area; ++i) {
    const std::uint32_t pixel = packed[i];
    rgb[3 * i] = static_cast<std::uint8_t>(TIFFGetR(pixel));
    rgb[3 * i + 1] = static_cast<std::uint8_t>(TIFFGetG(pixel));
    rgb[3 * i + 2] = static_cast<std::uint8_t>(TIFFGetB(pixel));
  }
  const ImageView picture{rgb, static_cast<int>(width), static_cast<int>(height),
                          3 * static_cast<std::ptrdiff_t>(width), 3};
  return photo_from_picture(picture, true, facts, std::move(buffer));
}

}  // namespace maturity
