#include "libmaturity/photo/decode.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <turbojpeg.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <string>

#include "tests/photo/photo_files.h"

namespace maturity {
namespace {

using made::Bytes;
using testing::HasSubstr;

constexpr double kLimit = 120.0;

std::string error_of(const Bytes& file, double limit = kLimit) {
  try {
    decode(file, limit);
  } catch (const PhotoError& error) {
    return error.what();
  }
  return "";
}

// Largest difference between the photo's samples and the YCbCr of a BGR picture, per plane.
std::array<double, 3> worst_difference(const Photo& photo, const cv::Mat& bgr) {
  cv::Mat ycc;
  cv::cvtColor(bgr, ycc, cv::COLOR_BGR2YCrCb);
  std::array<double, 3> worst{0.0, 0.0, 0.0};
  for (int y = 0; y < ycc.rows; ++y) {
    for (int x = 0; x < ycc.cols; ++x) {
      const auto seen = photo.sample(Point(x, y));
      const auto expected = ycc.at<cv::Vec3b>(y, x);
      worst[0] = std::max(worst[0], std::abs(seen[0] - expected[0]));
      worst[1] = std::max(worst[1], std::abs(seen[1] - expected[2]));
      worst[2] = std::max(worst[2], std::abs(seen[2] - expected[1]));
    }
  }
  return worst;
}

void expect_like(const Photo& photo, const cv::Mat& bgr, double luma, double colour) {
  ASSERT_EQ(photo.width(), bgr.cols);
  ASSERT_EQ(photo.height(), bgr.rows);
  const auto worst = worst_difference(photo, bgr);
  EXPECT_LE(worst[0], luma);
  EXPECT_LE(worst[1], colour);
  EXPECT_LE(worst[2], colour);
}

TEST(Decode, LosslessKindsGiveEveryPixelExactly) {
  const cv::Mat picture = made::lopsided_picture(75, 53);
  expect_like(decode(made::encode(picture, ".png"), kLimit), picture, 0, 0);
  expect_like(decode(made::encode(picture, ".tiff"), kLimit), picture, 0, 0);
  expect_like(decode(made::encode(picture, ".webp", {cv::IMWRITE_WEBP_QUALITY, 101}), kLimit),
              picture, 0, 0);
}

TEST(Decode, JpegOfOddSizeGivesTheColoursOfOpenCv) {
  const cv::Mat picture = made::lopsided_picture(101, 67);
  for (const int progressive : {0, 1}) {
    const Bytes file = made::encode(
        picture, ".jpg", {cv::IMWRITE_JPEG_QUALITY, 95, cv::IMWRITE_JPEG_PROGRESSIVE, progressive});
    expect_like(decode(file, kLimit), cv::imdecode(file, cv::IMREAD_COLOR), 1.5, 2.5);
  }
}

Bytes turbo_jpeg(const cv::Mat& pixels, int format, int subsampling) {
  void* const handle = tjInitCompress();
  unsigned char* out = nullptr;
  unsigned long size = 0;
  EXPECT_EQ(tjCompress2(handle, pixels.data, pixels.cols, static_cast<int>(pixels.step),
                        pixels.rows, format, &out, &size, subsampling, 96, 0),
            0)
      << tjGetErrorStr2(handle);
  Bytes file(out, out + size);
  tjFree(out);
  tjDestroy(handle);
  return file;
}

TEST(Decode, EveryChromaSubsamplingPutsColourInPlace) {
  const cv::Mat picture = made::lopsided_picture(93, 71);
  for (const int subsampling : {TJSAMP_444, TJSAMP_422, TJSAMP_420, TJSAMP_440, TJSAMP_411}) {
    SCOPED_TRACE(subsampling);
    const Bytes file = turbo_jpeg(picture, TJPF_BGR, subsampling);
    // Four columns share a colour at most; it changes by under one code a column.
    expect_like(decode(file, kLimit), picture, 4.0, 5.0);
  }
}

TEST(Decode, AColourPlaneOneCellOffWouldBeNoticed) {
  const cv::Mat picture = made::lopsided_picture(93, 71);
  const Photo photo = decode(turbo_jpeg(picture, TJPF_BGR, TJSAMP_420), kLimit);
  cv::Mat moved;
  cv::warpAffine(picture, moved, cv::Matx23d(1, 0, 8, 0, 1, 8), picture.size(), cv::INTER_NEAREST,
                 cv::BORDER_REPLICATE);
  EXPECT_GT(worst_difference(photo, moved)[1], 5.0);
}

TEST(Decode, GreyPicturesHaveNeutralColour) {
  cv::Mat grey;
  cv::cvtColor(made::lopsided_picture(64, 48), grey, cv::COLOR_BGR2GRAY);
  cv::Mat bgr;
  cv::cvtColor(grey, bgr, cv::COLOR_GRAY2BGR);
  for (const char* kind : {".png", ".tiff"}) {
    expect_like(decode(made::encode(grey, kind), kLimit), bgr, 0, 0);
  }
  expect_like(decode(made::encode(grey, ".jpg", {cv::IMWRITE_JPEG_QUALITY, 97}), kLimit), bgr, 3,
              0);
}

TEST(Decode, SixteenBitsAreReducedToEight) {
  const cv::Mat picture = made::lopsided_picture(64, 48);
  cv::Mat deep;
  picture.convertTo(deep, CV_16UC3, 257.0);
  for (const char* kind : {".png", ".tiff"}) {
    expect_like(decode(made::encode(deep, kind), kLimit), picture, 1, 1);
  }
}

TEST(Decode, AlphaIsLeftAway) {
  const cv::Mat picture = made::lopsided_picture(64, 48);
  cv::Mat with_alpha;
  cv::cvtColor(picture, with_alpha, cv::COLOR_BGR2BGRA);
  expect_like(decode(made::encode(with_alpha, ".png"), kLimit), picture, 0, 0);
  expect_like(decode(made::encode(with_alpha, ".tiff"), kLimit), picture, 0, 0);
}

TEST(Decode, CmykJpegIsReadOrRefusedWhole) {
  // Inverted CMYK as most programs write it: without ink 255 everywhere.
  const cv::Mat picture = made::lopsided_picture(64, 48);
  cv::Mat inks(48, 64, CV_8UC4);
  for (int y = 0; y < inks.rows; ++y) {
    for (int x = 0; x < inks.cols; ++x) {
      const auto& p = picture.at<cv::Vec3b>(y, x);
      inks.at<cv::Vec4b>(y, x) = {p[2], p[1], p[0], 255};
    }
  }
  const Bytes file = turbo_jpeg(inks, TJPF_CMYK, TJSAMP_444);
  expect_like(decode(file, kLimit), picture, 4, 4);
  EXPECT_NE(error_of(Bytes(file.begin(),
                           file.begin() + static_cast<std::ptrdiff_t>(file.size() * 2 / 3))),
            "");
}

TEST(Decode, EveryOrientationGivesTheSameUprightSamples) {
  const cv::Mat upright = made::lopsided_picture(60, 44);
  const std::vector<int> lossless{cv::IMWRITE_WEBP_QUALITY, 101};
  for (int orientation = 1; orientation <= 8; ++orientation) {
    const cv::Mat stored = made::stored_for(upright, orientation);
    for (const char* kind : {".png", ".webp"}) {
      SCOPED_TRACE(std::string(kind) + " orientation " + std::to_string(orientation));
      const Bytes plain =
          made::encode(stored, kind, std::string(kind) == ".webp" ? lossless : std::vector<int>{});
      const Photo photo = decode(made::with_exif(plain, {orientation, {}, {}}), kLimit);
      EXPECT_EQ(photo.facts().orientation, orientation);
      expect_like(photo, upright, 0, 0);
    }
  }
}

// TIFF readers differ in what they turn on their own.
TEST(Decode, ATiffIsTurnedOnce) {
  const cv::Mat upright = made::lopsided_picture(60, 44);
  for (int orientation = 1; orientation <= 8; ++orientation) {
    SCOPED_TRACE(orientation);
    const Bytes plain = made::encode(made::stored_for(upright, orientation), ".tiff");
    expect_like(decode(made::with_exif(plain, {orientation, {}, {}}), kLimit), upright, 0, 0);
  }
}

TEST(Decode, OpenCvTurnsTheSameJpegTheSameWay) {
  const cv::Mat upright = made::lopsided_picture(64, 48);
  for (int orientation = 1; orientation <= 8; ++orientation) {
    SCOPED_TRACE(orientation);
    const Bytes plain = made::encode(made::stored_for(upright, orientation), ".jpg",
                                     {cv::IMWRITE_JPEG_QUALITY, 97});
    const Bytes file = made::with_exif(plain, {orientation, {}, {}});
    const Photo photo = decode(file, kLimit);
    expect_like(photo, cv::imdecode(file, cv::IMREAD_COLOR), 1.5, 2.5);
    expect_like(photo, upright, 4, 4);
  }
}

TEST(Decode, AWrongOrientationIsNoticed) {
  const cv::Mat upright = made::lopsided_picture(48, 48);
  for (int orientation = 2; orientation <= 8; ++orientation) {
    const Bytes plain = made::encode(made::stored_for(upright, orientation), ".png");
    EXPECT_GT(worst_difference(decode(plain, kLimit), upright)[0], 20.0) << orientation;
  }
}

TEST(Decode, TruncatedJpegIsAnErrorAtEveryLength) {
  const cv::Mat picture = made::lopsided_picture(160, 120);
  cv::Mat grey;
  cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  const std::vector<Bytes> files{made::encode(picture, ".jpg"),
                                 made::encode(picture, ".jpg", {cv::IMWRITE_JPEG_PROGRESSIVE, 1}),
                                 made::encode(picture, ".jpg", {cv::IMWRITE_JPEG_RST_INTERVAL, 4}),
                                 turbo_jpeg(picture, TJPF_BGR, TJSAMP_444),
                                 made::encode(grey, ".jpg")};
  for (std::size_t f = 0; f < files.size(); ++f) {
    const Bytes& file = files[f];
    ASSERT_EQ(error_of(file), "");
    for (std::size_t length = 0; length < file.size();
         length += length + 40 < file.size() ? 13U : 1U) {
      const Bytes part(file.begin(), file.begin() + static_cast<std::ptrdiff_t>(length));
      EXPECT_NE(error_of(part), "") << "file " << f << ", " << length << " of " << file.size();
    }
  }
}

TEST(Decode, AHalfCopiedJpegFilledWithZeroBytesIsAnError) {
  const Bytes file = made::encode(made::lopsided_picture(320, 240), ".jpg");
  for (const double share : {0.5, 0.7, 0.9}) {
    Bytes copy = file;
    std::fill(copy.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(file.size())),
              copy.end(), std::uint8_t{0});
    EXPECT_NE(error_of(copy), "") << share;
  }
}

TEST(Decode, ZeroBytesAfterAWholeJpegDoNoHarm) {
  Bytes file = made::encode(made::lopsided_picture(64, 48), ".jpg");
  file.insert(file.end(), 200, 0);
  EXPECT_EQ(error_of(file), "");
}

TEST(Decode, TruncatedPngIsAnErrorAtEveryLength) {
  const Bytes file = made::encode(made::lopsided_picture(96, 64), ".png");
  ASSERT_EQ(error_of(file), "");
  // The last four bytes are the checksum of the end mark: without it the pixels are still whole.
  for (std::size_t length = 0; length + 4 < file.size();
       length += length + 60 < file.size() ? 11U : 1U) {
    const Bytes part(file.begin(), file.begin() + static_cast<std::ptrdiff_t>(length));
    EXPECT_NE(error_of(part), "") << length << " of " << file.size();
  }
}

TEST(Decode, TruncatedTiffAndWebpAreErrors) {
  for (const char* kind : {".tiff", ".webp"}) {
    const Bytes file = made::encode(made::lopsided_picture(96, 64), kind);
    ASSERT_EQ(error_of(file), "");
    for (const double share : {0.02, 0.1, 0.3, 0.5, 0.8, 0.95, 0.99}) {
      const auto length = static_cast<std::ptrdiff_t>(share * static_cast<double>(file.size()));
      EXPECT_NE(error_of(Bytes(file.begin(), file.begin() + length)), "") << kind << ' ' << share;
    }
  }
}

TEST(Decode, WhatIsNoPhotoIsSaidInASentence) {
  const std::string text = "To whom it may concern: this is a letter, whatever its name ends in.";
  EXPECT_THAT(error_of(Bytes(text.begin(), text.end())), HasSubstr("not a photo"));
  EXPECT_THAT(error_of({}), HasSubstr("empty"));
  const std::string heic(
      "\0\0\0\x18"
      "ftypheic\0\0\0\0mif1heic",
      24);
  EXPECT_THAT(error_of(Bytes(heic.begin(), heic.end())), HasSubstr("HEIC"));
}

// The decoder takes a JPEG that ends before its frame for tables only, of 0 x 0 pixels.
TEST(Decode, AJpegThatEndsInItsHeaderIsNotCalledSmall) {
  const Bytes file = made::encode(made::lopsided_picture(64, 48), ".jpg");
  for (const std::ptrdiff_t length : {3, 20, 100}) {
    const std::string error = error_of(Bytes(file.begin(), file.begin() + length));
    EXPECT_THAT(error, testing::Not(HasSubstr("too small"))) << length;
    EXPECT_THAT(error, HasSubstr("JPEG")) << length;
  }
}

TEST(Decode, GarbageBehindEveryMagicIsAnErrorAndNothingWorse) {
  const std::vector<Bytes> starts{{0xFF, 0xD8, 0xFF, 0xE0},
                                  {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'},
                                  {'I', 'I', 42, 0, 8, 0, 0, 0},
                                  {'M', 'M', 0, 42, 0, 0, 0, 8},
                                  {'R', 'I', 'F', 'F', 0x50, 0, 0, 0, 'W', 'E', 'B', 'P'}};
  cv::RNG random(20240607);
  for (const Bytes& start : starts) {
    EXPECT_NE(error_of(start), "");
    for (int trial = 0; trial < 40; ++trial) {
      Bytes file = start;
      for (int i = 0; i < 400; ++i) {
        file.push_back(static_cast<std::uint8_t>(random.uniform(0, 256)));
      }
      EXPECT_NE(error_of(file), "") << trial;
    }
  }
}

TEST(Decode, DamagedBytesNeverDoWorseThanAnError) {
  const cv::Mat picture = made::lopsided_picture(96, 72);
  cv::RNG random(7);
  for (const char* kind : {".jpg", ".png", ".tiff", ".webp"}) {
    const Bytes file = made::with_exif(made::encode(picture, kind), {6, "2025:11:03 07:01:02", 26});
    for (int trial = 0; trial < 60; ++trial) {
      Bytes damaged = file;
      for (int k = 0; k < 3; ++k) {
        damaged.at(static_cast<std::size_t>(random.uniform(0, static_cast<int>(file.size())))) =
            static_cast<std::uint8_t>(random.uniform(0, 256));
      }
      // Anything but a PhotoError leaves the test; a value must be a whole picture.
      try {
        const Photo photo = decode(damaged, 1.0);
        EXPECT_GE(photo.width(), 32);
        EXPECT_GE(photo.height(), 32);
        photo.sample(Point(photo.width() - 1, photo.height() - 1));
      } catch (const PhotoError& error) {
        EXPECT_STRNE(error.what(), "");
      }
    }
  }
}

// Writes the checksum of a chunk anew (CRC-32 of ISO/IEC 15948, annex D).
void mend_png_checksum(Bytes& png, std::size_t chunk) {
  const std::size_t length =
      (png[chunk] * 256U + png[chunk + 1]) * 65536U + png[chunk + 2] * 256U + png[chunk + 3];
  std::uint32_t crc = 0xFFFFFFFFU;
  for (std::size_t i = chunk + 4; i < chunk + 8 + length; ++i) {
    crc ^= png[i];
    for (int bit = 0; bit < 8; ++bit) {
      crc = (crc >> 1U) ^ ((crc & 1U) != 0U ? 0xEDB88320U : 0U);
    }
  }
  for (std::size_t i = 0; i < 4; ++i) {
    png[chunk + 8 + length + i] = static_cast<std::uint8_t>(~crc >> (24U - 8U * i));
  }
}

TEST(Decode, APngWithOneWrongBitIsAnErrorThatSaysWhere) {
  const Bytes file = made::encode(made::lopsided_picture(96, 64), ".png");
  Bytes damaged = file;
  damaged[file.size() / 2] ^= 1U;
  testing::internal::CaptureStderr();
  EXPECT_THAT(error_of(damaged), HasSubstr("IDAT"));
  EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
}

TEST(Decode, AHugeClaimIsRefusedBeforeDecoding) {
  Bytes jpeg = made::encode(made::lopsided_picture(64, 48), ".jpg");
  for (std::size_t i = 2; i + 9 < jpeg.size();) {  // to the start of frame
    const std::uint8_t mark = jpeg[i + 1];
    if (mark == 0xC0) {
      jpeg[i + 5] = jpeg[i + 7] = 60000 / 256;
      jpeg[i + 6] = jpeg[i + 8] = 60000 % 256;
      break;
    }
    i += 2U + jpeg[i + 2] * 256U + jpeg[i + 3];
  }
  EXPECT_THAT(error_of(jpeg), HasSubstr("60000 x 60000"));
  EXPECT_THAT(error_of(jpeg), HasSubstr("megapixels"));
  Bytes png = made::encode(made::lopsided_picture(64, 48), ".png");
  png[16] = png[20] = png[17] = png[21] = 0;
  png[18] = png[22] = 60000 / 256;
  png[19] = png[23] = 60000 % 256;
  constexpr std::size_t kFirstChunk = 8;
  mend_png_checksum(png, kFirstChunk);
  EXPECT_THAT(error_of(png), HasSubstr("60000 x 60000"));
  EXPECT_THAT(error_of(made::encode(made::lopsided_picture(200, 100), ".png"), 0.0199),
              HasSubstr("megapixels"));
  EXPECT_EQ(error_of(made::encode(made::lopsided_picture(200, 100), ".png"), 0.0201), "");
}

TEST(Decode, ATinyPictureIsRefused) {
  EXPECT_THAT(error_of(made::encode(made::lopsided_picture(31, 200), ".png")),
              HasSubstr("31 x 200"));
  EXPECT_EQ(error_of(made::encode(made::lopsided_picture(32, 32), ".png")), "");
}

TEST(Decode, AStripIsRefused) {
  EXPECT_THAT(error_of(made::encode(made::lopsided_picture(32, 640), ".png")),
              HasSubstr("too narrow"));
  EXPECT_THAT(error_of(made::encode(made::lopsided_picture(700, 35), ".jpg")),
              HasSubstr("too narrow"));
  EXPECT_EQ(error_of(made::encode(made::lopsided_picture(32, 639), ".png")), "");
}

TEST(Decode, TheBufferIsUsedAgain) {
  const Bytes file = made::encode(made::lopsided_picture(320, 240), ".jpg");
  Photo first = decode(file, kLimit);
  const std::uint8_t* where = first.planes().luma.data;
  Photo second = decode(file, kLimit, first.release_buffer());
  EXPECT_EQ(second.planes().luma.data, where);
  EXPECT_EQ(first.planes().luma.data, nullptr);
}

TEST(Decode, SamplesBeyondTheEdgeReadTheEdge) {
  const cv::Mat picture = made::lopsided_picture(64, 48);
  const Photo photo = decode(made::encode(picture, ".png"), kLimit);
  EXPECT_EQ(photo.sample(Point(-20, -5)), photo.sample(Point(0, 0)));
  EXPECT_EQ(photo.sample(Point(500, 20)), photo.sample(Point(63, 20)));
  // Half way between two pixels: their mean.
  EXPECT_DOUBLE_EQ(photo.sample_luma(Point(30.5, 20)),
                   0.5 * (photo.sample_luma(Point(30, 20)) + photo.sample_luma(Point(31, 20))));
}

}  // namespace
}  // namespace maturity
