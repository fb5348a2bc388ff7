#include "libmaturity/photo/decode_png.h"

#include <png.h>

#include <array>
#include <csetjmp>
#include <cstring>
#include <new>
#include <string>
#include <utility>

#include "libmaturity/photo/photo_planes.h"

namespace maturity {

namespace {

constexpr std::size_t kLongestPngText = 120;

// libpng leaves by longjmp: only plain values may live where it passes.
struct PngSource {
  std::span<const std::uint8_t> bytes;
  std::size_t at = 0;
  std::array<char, kLongestPngText> message{};
};

void keep_error(png_structp png, png_const_charp text) {
  auto* source = static_cast<PngSource*>(png_get_error_ptr(png));
  std::strncpy(source->message.data(), text, kLongestPngText - 1);
  png_longjmp(png, 1);
}

// Warnings are about what does not touch the pixels (a colour profile, a text).
void ignore_warning(png_structp /*png*/, png_const_charp /*text*/) {}

void give_bytes(png_structp png, png_bytep to, std::size_t count) {
  auto* source = static_cast<PngSource*>(png_get_io_ptr(png));
  if (count > source->bytes.size() - source->at) {
    png_error(png, "the file ends early");
  }
  std::memcpy(to, source->bytes.data() + source->at, count);
  source->at += count;
}

struct PngSize {
  int width = 0;
  int height = 0;
};

class PngReader {
 public:
  explicit PngReader(std::span<const std::uint8_t> bytes) {
    source_.bytes = bytes;
    png_ = png_create_read_struct(PNG_LIBPNG_VER_STRING, &source_, keep_error, ignore_warning);
    info_ = png_ == nullptr ? nullptr : png_create_info_struct(png_);
    if (info_ == nullptr) {
      png_destroy_read_struct(&png_, nullptr, nullptr);
      throw std::bad_alloc();
    }
    png_set_read_fn(png_, &source_, give_bytes);
  }
  ~PngReader() { png_destroy_read_struct(&png_, &info_, nullptr); }
  PngReader(const PngReader&) = delete;
  PngReader& operator=(const PngReader&) = delete;
  PngReader(PngReader&&) = delete;
  PngReader& operator=(PngReader&&) = delete;

  PngSize size() {
    if (!read_header()) {
      refuse();
    }
    return {static_cast<int>(png_get_image_width(png_, info_)),
            static_cast<int>(png_get_image_height(png_, info_))};
  }

  // Red, green, blue, row by row, to the last chunk.
  std::vector<std::uint8_t> pixels(const PngSize& size) {
    const auto row_bytes = 3U * static_cast<std::size_t>(size.width);
    std::vector<std::uint8_t> rgb(row_bytes * static_cast<std::size_t>(size.height));
    std::vector<png_bytep> rows(static_cast<std::size_t>(size.height));
    for (std::size_t y = 0; y < rows.size(); ++y) {
      rows[y] = rgb.data() + y * row_bytes;
    }
    if (!read_pixels(rows.data(), row_bytes)) {
      refuse();
    }
    return rgb;
  }

 private:
  bool read_header() {
    if (setjmp(png_jmpbuf(png_)) != 0) {  // NOLINT: libpng's way to report
      return false;
    }
    png_read_info(png_, info_);
    return true;
  }

  bool read_pixels(png_bytepp rows, std::size_t row_bytes) {
    if (setjmp(png_jmpbuf(png_)) != 0) {  // NOLINT: libpng's way to report
      return false;
    }
    png_set_expand(png_);
    png_set_strip_16(png_);
    png_set_strip_alpha(png_);
    png_set_gray_to_rgb(png_);
    png_set_interlace_handling(png_);
    png_read_update_info(png_, info_);
    if (png_get_rowbytes(png_, info_) != row_bytes) {
      png_error(png_, "rows of an unexpected width");
    }
    png_read_image(png_, rows);
    png_read_end(png_, nullptr);
    return true;
  }

  [[noreturn]] void refuse() const {
    throw PhotoError(std::string("The PNG is damaged or cut short (") + source_.message.data() +
                     "): copy it again.");
  }

  PngSource source_;
  png_structp png_ = nullptr;
  png_infop info_ = nullptr;
};

}  // namespace

Photo decode_png(std::span<const std::uint8_t> bytes, const CameraFacts& facts,
                 double max_megapixels, std::vector<std::uint8_t> buffer) {
  PngReader reader(bytes);
  const PngSize size = reader.size();
  check_photo_size(size.width, size.height, max_megapixels);
  const std::vector<std::uint8_t> rgb = reader.pixels(size);
  const ImageView picture{rgb.data(), size.width, size.height,
                          3 * static_cast<std::ptrdiff_t>(size.width), 3};
  return photo_from_picture(picture, true, facts, std::move(buffer));
}

}  // namespace maturity
