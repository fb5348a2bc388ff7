#include "libmaturity/photo/decode_heif.h"

#ifdef MATURITY_HEIF
#include <libheif/heif.h>

#include <algorithm>
#include <memory>
#include <string>
#include <utility>

#include "libmaturity/photo/camera_facts.h"
#include "libmaturity/photo/photo_planes.h"
#endif

namespace maturity {

#ifdef MATURITY_HEIF

namespace {

struct HeifCloser {
  void operator()(heif_context* context) const { heif_context_free(context); }
  void operator()(heif_image_handle* handle) const { heif_image_handle_release(handle); }
  void operator()(heif_image* image) const { heif_image_release(image); }
};

void require(const heif_error& error) {
  if (error.code == heif_error_Ok) {
    return;
  }
  std::string reason = error.message;
  std::replace_if(
      reason.begin(), reason.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
  if (error.code == heif_error_Memory_allocation_error) {
    throw PhotoTooLarge("The HEIC photo claims more pixels than can be decoded here (" + reason +
                        ").");
  }
  throw PhotoError("The HEIC photo is damaged or cut short (" + reason +
                   "): copy it again from the phone.");
}

// Time and focal length; the turn is already done by the decoder.
CameraFacts facts_of(const heif_image_handle* handle) {
  heif_item_id id = 0;
  if (heif_image_handle_get_list_of_metadata_block_IDs(handle, "Exif", &id, 1) != 1) {
    return {};
  }
  std::vector<std::uint8_t> block(heif_image_handle_get_metadata_size(handle, id));
  constexpr std::size_t kOffsetSize = 4;  // the block begins with the way to its TIFF header
  if (block.size() <= kOffsetSize ||
      heif_image_handle_get_metadata(handle, id, block.data()).code != heif_error_Ok) {
    return {};
  }
  std::size_t offset = 0;
  for (std::size_t i = 0; i < kOffsetSize; ++i) {
    offset = 256U * offset + block[i];
  }
  if (offset >= block.size() - kOffsetSize) {
    return {};
  }
  CameraFacts facts = read_exif(std::span(block).subspan(kOffsetSize + offset));
  facts.orientation = 1;
  return facts;
}

}  // namespace

bool reads_heif() { return true; }

Photo decode_heif(std::span<const std::uint8_t> bytes, double max_megapixels,
                  std::vector<std::uint8_t> buffer) {
  const std::unique_ptr<heif_context, HeifCloser> context(heif_context_alloc());
  require(heif_context_read_from_memory_without_copy(context.get(), bytes.data(), bytes.size(),
                                                     nullptr));
  heif_image_handle* raw_handle = nullptr;
  require(heif_context_get_primary_image_handle(context.get(), &raw_handle));
  const std::unique_ptr<heif_image_handle, HeifCloser> handle(raw_handle);
  check_photo_size(heif_image_handle_get_width(handle.get()),
                   heif_image_handle_get_height(handle.get()), max_megapixels);
  heif_image* raw_image = nullptr;
  require(heif_decode_image(handle.get(), &raw_image, heif_colorspace_RGB,
                            heif_chroma_interleaved_RGB, nullptr));
  const std::unique_ptr<heif_image, HeifCloser> image(raw_image);
  const int width = heif_image_get_width(image.get(), heif_channel_interleaved);
  const int height = heif_image_get_height(image.get(), heif_channel_interleaved);
  int stride = 0;
  const std::uint8_t* pixels =
      heif_image_get_plane_readonly(image.get(), heif_channel_interleaved, &stride);
  if (pixels == nullptr || width <= 0 || height <= 0) {
    throw PhotoError("The HEIC photo holds no picture: copy it again from the phone.");
  }
  const ImageView picture{pixels, width, height, stride, 3};
  return photo_from_picture(picture, true, facts_of(handle.get()), std::move(buffer));
}

#else

bool reads_heif() { return false; }

Photo decode_heif(std::span<const std::uint8_t> /*bytes*/, double /*max_megapixels*/,
                  std::vector<std::uint8_t> /*buffer*/) {
  throw PhotoError(
      "The photo is in HEIC form, which this build does not read: set the phone to "
      "\"most compatible\" or save it as JPEG.");
}

#endif

}  // namespace maturity
