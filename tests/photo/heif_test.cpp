#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <opencv2/core.hpp>
#include <string>

#include "libmaturity/photo/decode.h"
#include "libmaturity/photo/decode_heif.h"
#include "tests/photo/photo_files.h"

#ifdef MATURITY_HEIF
#include <libheif/heif.h>
#endif

namespace maturity {
namespace {

using made::Bytes;
using testing::HasSubstr;

constexpr double kHeifMegapixels = 100.0;

std::string heif_error_of(const Bytes& file, double megapixels = kHeifMegapixels) {
  try {
    static_cast<void>(decode(file, megapixels));
  } catch (const PhotoError& error) {
    return error.what();
  }
  return "";
}

TEST(Heif, ABrokenFileIsSaidInASentence) {
  const std::string text(
      "\0\0\0\x18"
      "ftypheic\0\0\0\0mif1heic",
      24);
  EXPECT_THAT(heif_error_of(Bytes(text.begin(), text.end())), HasSubstr("HEIC"));
}

#ifdef MATURITY_HEIF

heif_error append(heif_context* /*context*/, const void* data, std::size_t size, void* file) {
  const auto* bytes = static_cast<const std::uint8_t*>(data);
  auto* out = static_cast<Bytes*>(file);
  out->insert(out->end(), bytes, bytes + size);
  return {heif_error_Ok, heif_suberror_Unspecified, ""};
}

// The picture as a HEIC file of high quality, by libheif; with the EXIF block of a JPEG where given
// and turned as a phone held sideways writes it.
Bytes heic_of(const cv::Mat& bgr, const Bytes& exif = {},
              heif_orientation turn = heif_orientation_normal) {
  heif_context* context = heif_context_alloc();
  heif_encoder* encoder = nullptr;
  EXPECT_EQ(heif_context_get_encoder_for_format(context, heif_compression_HEVC, &encoder).code,
            heif_error_Ok);
  heif_encoder_set_lossy_quality(encoder, 95);
  heif_image* image = nullptr;
  heif_image_create(bgr.cols, bgr.rows, heif_colorspace_RGB, heif_chroma_interleaved_RGB, &image);
  heif_image_add_plane(image, heif_channel_interleaved, bgr.cols, bgr.rows, 8);
  int stride = 0;
  std::uint8_t* pixels = heif_image_get_plane(image, heif_channel_interleaved, &stride);
  for (int y = 0; y < bgr.rows; ++y) {
    for (int x = 0; x < bgr.cols; ++x) {
      const auto& from = bgr.at<cv::Vec3b>(y, x);
      for (int c = 0; c < 3; ++c) {
        pixels[y * stride + 3 * x + c] = from[2 - c];
      }
    }
  }
  heif_encoding_options* options = heif_encoding_options_alloc();
  options->image_orientation = turn;
  heif_image_handle* handle = nullptr;
  EXPECT_EQ(heif_context_encode_image(context, image, encoder, options, &handle).code,
            heif_error_Ok);
  if (!exif.empty()) {
    EXPECT_EQ(
        heif_context_add_exif_metadata(context, handle, exif.data(), static_cast<int>(exif.size()))
            .code,
        heif_error_Ok);
  }
  Bytes file;
  heif_writer writer{1, append};
  heif_context_write(context, &writer, &file);
  heif_image_handle_release(handle);
  heif_encoding_options_free(options);
  heif_image_release(image);
  heif_encoder_release(encoder);
  heif_context_free(context);
  return file;
}

// The TIFF part of the EXIF segment that Exiv2 writes into a JPEG.
Bytes exif_block(const made::Exif& exif) {
  const Bytes jpeg = made::with_exif(made::encode(made::lopsided_picture(64, 48), ".jpg"), exif);
  const std::string mark("Exif\0\0", 6);
  const auto at = std::search(jpeg.begin(), jpeg.end(), mark.begin(), mark.end());
  EXPECT_NE(at, jpeg.end());
  const auto size = static_cast<std::ptrdiff_t>(256 * *(at - 2) + *(at - 1)) - 8;
  return {at + 6, at + 6 + size};
}

void expect_same_picture(const Photo& photo, const cv::Mat& bgr) {
  const Photo reference = decode(made::encode(bgr, ".png"), kHeifMegapixels);
  ASSERT_EQ(photo.width(), reference.width());
  ASSERT_EQ(photo.height(), reference.height());
  for (int y = 4; y < photo.height(); y += 7) {
    for (int x = 4; x < photo.width(); x += 7) {
      const auto a = photo.sample(Point(x, y));
      const auto b = reference.sample(Point(x, y));
      for (std::size_t c = 0; c < 3; ++c) {
        EXPECT_NEAR(a.at(c), b.at(c), 6.0) << x << "," << y << " channel " << c;
      }
    }
  }
}

TEST(Heif, ReadsWhatLibheifWrites) {
  ASSERT_TRUE(reads_heif());
  const cv::Mat picture = made::lopsided_picture(96, 64);
  expect_same_picture(decode(heic_of(picture), kHeifMegapixels), picture);
}

TEST(Heif, IsUprightWhateverTheFileAndItsExifSay) {
  const cv::Mat picture = made::lopsided_picture(96, 64);
  cv::Mat turned;
  cv::rotate(picture, turned, cv::ROTATE_90_CLOCKWISE);
  made::Exif exif;
  exif.orientation = 6;  // phones write it as well as the turn; the turn alone counts
  const Photo photo =
      decode(heic_of(picture, exif_block(exif), heif_orientation_rotate_90_cw), kHeifMegapixels);
  EXPECT_EQ(photo.facts().orientation, 1);
  expect_same_picture(photo, turned);
}

TEST(Heif, TimeAndFocalLengthComeFromItsExif) {
  made::Exif exif;
  exif.taken_at = "2026:11:03 08:15:00";
  exif.focal_35mm = 28;
  const Photo photo =
      decode(heic_of(made::lopsided_picture(96, 64), exif_block(exif)), kHeifMegapixels);
  EXPECT_EQ(photo.facts().taken_at, "2026-11-03T08:15:00");
  EXPECT_EQ(photo.facts().focal_35mm, 28.0);
}

TEST(Heif, CutShortOrTooLargeIsSaid) {
  const Bytes file = heic_of(made::lopsided_picture(96, 64));
  for (const double share : {0.2, 0.5, 0.8, 0.97}) {
    const auto length = static_cast<std::ptrdiff_t>(share * static_cast<double>(file.size()));
    EXPECT_THAT(heif_error_of(Bytes(file.begin(), file.begin() + length)), HasSubstr("HEIC"))
        << share;
  }
  EXPECT_THAT(heif_error_of(file, 0.005), HasSubstr("megapixels"));
}

#else

TEST(Heif, WithoutTheLibraryTheWayOutIsSaid) {
  EXPECT_FALSE(reads_heif());
  const std::string text(
      "\0\0\0\x18"
      "ftypheic\0\0\0\0mif1heic",
      24);
  EXPECT_THAT(heif_error_of(Bytes(text.begin(), text.end())), HasSubstr("JPEG"));
}

#endif

}  // namespace
}  // namespace maturity
