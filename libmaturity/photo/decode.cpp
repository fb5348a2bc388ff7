#include "libmaturity/photo/decode.h"

#include <turbojpeg.h>

#include <algorithm>
#include <array>
#include <memory>
#include <opencv2/imgcodecs.hpp>
#include <string>
#include <utility>

#include "libmaturity/photo/camera_facts.h"
#include "libmaturity/photo/decode_heif.h"
#include "libmaturity/photo/decode_png.h"
#include "libmaturity/photo/decode_tiff.h"
#include "libmaturity/photo/photo_planes.h"

namespace maturity {

namespace {

bool starts_with(std::span<const std::uint8_t> bytes, std::initializer_list<int> magic,
                 std::size_t at = 0) {
  return bytes.size() >= at + magic.size() &&
         std::equal(magic.begin(), magic.end(), bytes.begin() + static_cast<std::ptrdiff_t>(at),
                    [](int a, std::uint8_t b) { return a == b; });
}

bool is_jpeg(std::span<const std::uint8_t> b) { return starts_with(b, {0xFF, 0xD8, 0xFF}); }
bool is_png(std::span<const std::uint8_t> b) { return starts_with(b, {0x89, 'P', 'N', 'G'}); }
bool is_tiff(std::span<const std::uint8_t> b) {
  return starts_with(b, {'I', 'I', 42, 0}) || starts_with(b, {'M', 'M', 0, 42});
}
bool is_webp(std::span<const std::uint8_t> b) {
  return starts_with(b, {'R', 'I', 'F', 'F'}) && starts_with(b, {'W', 'E', 'B', 'P'}, 8);
}
bool is_heif(std::span<const std::uint8_t> b) { return starts_with(b, {'f', 't', 'y', 'p'}, 4); }

struct TurboCloser {
  void operator()(void* handle) const { tjDestroy(handle); }
};

// A whole JPEG ends with its end marker; some phones pad with zero bytes after it.
void check_jpeg_warnings(tjhandle handle) {
  if (tjGetErrorCode(handle) == TJERR_WARNING || tjGetErrorCode(handle) == TJERR_FATAL) {
    throw PhotoError(std::string("The JPEG is damaged or cut short (") + tjGetErrorStr2(handle) +
                     "): copy it again from the phone.");
  }
}

Photo decode_with_opencv(std::span<const std::uint8_t> bytes, const FileHeader& header,
                         std::vector<std::uint8_t> buffer) {
  const cv::Mat raw(1, static_cast<int>(bytes.size()), CV_8UC1,
                    const_cast<std::uint8_t*>(bytes.data()));  // NOLINT: read only
  cv::Mat bgr;
  try {
    bgr = cv::imdecode(raw, cv::IMREAD_COLOR | cv::IMREAD_IGNORE_ORIENTATION);
  } catch (const cv::Exception&) {
    bgr.release();
  }
  if (bgr.empty()) {
    throw PhotoError("The photo is damaged or cut short: copy it again from the phone.");
  }
  const ImageView picture{bgr.data, bgr.cols, bgr.rows, static_cast<std::ptrdiff_t>(bgr.step), 3};
  return photo_from_picture(picture, false, header.facts, std::move(buffer));
}

struct JpegKind {
  int width;
  int height;
  int colour;
};

// Grey, RGB and inked (CMYK, YCCK) JPEGs. Inks are stored inverted, as most programs do.
Photo decode_jpeg_to_rgb(tjhandle handle, std::span<const std::uint8_t> bytes, const JpegKind& kind,
                         const CameraFacts& facts, std::vector<std::uint8_t> buffer) {
  const bool inks = kind.colour == TJCS_CMYK || kind.colour == TJCS_YCCK;
  const int channels = inks ? 4 : 3;
  const auto area = static_cast<std::size_t>(kind.width) * static_cast<std::size_t>(kind.height);
  std::vector<std::uint8_t> pixels(area * static_cast<std::size_t>(channels));
  if (tjDecompress2(handle, bytes.data(), bytes.size(), pixels.data(), kind.width, 0, kind.height,
                    inks ? TJPF_CMYK : TJPF_RGB, TJFLAG_LIMITSCANS) != 0) {
    check_jpeg_warnings(handle);
  }
  for (std::size_t i = 0; inks && i < area; ++i) {
    const int black = pixels[4 * i + 3];
    for (std::size_t c = 0; c < 3; ++c) {
      const int ink = pixels[4 * i + c];
      pixels[3 * i + c] = static_cast<std::uint8_t>(black - (((255 - ink) * black) >> 8));
    }
  }
  const ImageView picture{pixels.data(), kind.width, kind.height,
                          3 * static_cast<std::ptrdiff_t>(kind.width), 3};
  return photo_from_picture(picture, true, facts, std::move(buffer));
}

Photo decode_jpeg(std::span<const std::uint8_t> bytes, const FileHeader& header,
                  double max_megapixels, std::vector<std::uint8_t> buffer) {
  const std::unique_ptr<void, TurboCloser> handle(tjInitDecompress());
  if (!handle) {
    throw PhotoError("The JPEG decoder could not be started (out of memory).");
  }
  int width = 0;
  int height = 0;
  int subsampling = 0;
  int colour = 0;
  if (tjDecompressHeader3(handle.get(), bytes.data(), bytes.size(), &width, &height, &subsampling,
                          &colour) != 0) {
    throw PhotoError(std::string("The file is named or begins like a JPEG but is not one (") +
                     tjGetErrorStr2(handle.get()) + ").");
  }
  if (width <= 0 || height <= 0) {
    throw PhotoError("The JPEG is cut short in its header: copy it again from the phone.");
  }
  check_photo_size(width, height, max_megapixels);
  if (colour != TJCS_YCbCr || subsampling < 0 || subsampling == TJSAMP_GRAY) {
    return decode_jpeg_to_rgb(handle.get(), bytes, {width, height, colour}, header.facts,
                              std::move(buffer));
  }
  const int cw = tjPlaneWidth(1, width, subsampling);
  const int ch = tjPlaneHeight(1, height, subsampling);
  const auto luma_size = static_cast<std::size_t>(tjPlaneSizeYUV(0, width, 0, height, subsampling));
  const auto colour_size =
      static_cast<std::size_t>(tjPlaneSizeYUV(1, width, 0, height, subsampling));
  buffer.resize(luma_size + 2 * colour_size);
  std::array<unsigned char*, 3> planes{buffer.data(), buffer.data() + luma_size,
                                       buffer.data() + luma_size + colour_size};
  const int status =
      tjDecompressToYUVPlanes(handle.get(), bytes.data(), bytes.size(), planes.data(), width,
                              nullptr, height, TJFLAG_LIMITSCANS);
  if (status != 0) {
    check_jpeg_warnings(handle.get());
  }
  const int padded = tjPlaneWidth(0, width, subsampling);
  const int shrink_x = subsampling == TJSAMP_411                                  ? 4
                       : (subsampling == TJSAMP_420 || subsampling == TJSAMP_422) ? 2
                                                                                  : 1;
  const int shrink_y = (subsampling == TJSAMP_420 || subsampling == TJSAMP_440) ? 2 : 1;
  Photo::Planes views;
  views.luma = {planes[0], width, height, padded, 1};
  views.blue = {planes[1], cw, ch, cw, 1};
  views.red = {planes[2], cw, ch, cw, 1};
  views.colour_shrink_x = shrink_x;
  views.colour_shrink_y = shrink_y;
  return {std::move(buffer), views, header.facts};
}

}  // namespace

Photo decode(std::span<const std::uint8_t> bytes, double max_megapixels,
             std::vector<std::uint8_t> buffer) {
  if (bytes.empty()) {
    throw PhotoError("The file is empty.");
  }
  if (is_heif(bytes)) {
    return decode_heif(bytes, max_megapixels, std::move(buffer));
  }
  const bool jpeg = is_jpeg(bytes);
  if (!jpeg && !is_png(bytes) && !is_tiff(bytes) && !is_webp(bytes)) {
    throw PhotoError("The file is not a photo in JPEG, HEIC, PNG, TIFF or WebP form.");
  }
  const FileHeader header = read_header(bytes);
  if (jpeg) {
    return decode_jpeg(bytes, header, max_megapixels, std::move(buffer));
  }
  if (is_png(bytes)) {
    return decode_png(bytes, header.facts, max_megapixels, std::move(buffer));
  }
  if (is_tiff(bytes)) {
    return decode_tiff(bytes, header.facts, max_megapixels, std::move(buffer));
  }
  if (header.width <= 0 || header.height <= 0) {
    throw PhotoError("The header of the photo is damaged: copy it again.");
  }
  check_photo_size(header.width, header.height, max_megapixels);
  return decode_with_opencv(bytes, header, std::move(buffer));
}

}  // namespace maturity
