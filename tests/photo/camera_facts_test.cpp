#include "libmaturity/photo/camera_facts.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "libmaturity/photo/decode.h"
#include "tests/photo/photo_files.h"

namespace maturity {
namespace {

using made::Bytes;

const Bytes& plain_jpeg() {
  static const Bytes kFile = made::encode(made::lopsided_picture(64, 48), ".jpg");
  return kFile;
}

CameraFacts facts_with(const made::Exif& exif) {
  return read_header(made::with_exif(plain_jpeg(), exif)).facts;
}

TEST(CameraFacts, AreReadFromEveryKindOfFile) {
  for (const char* kind : {".jpg", ".png", ".tiff", ".webp"}) {
    SCOPED_TRACE(kind);
    const Bytes file = made::with_exif(made::encode(made::lopsided_picture(64, 48), kind),
                                       {8, "2025:11:03 07:58:09", 26});
    const FileHeader header = read_header(file);
    EXPECT_EQ(header.width, 64);
    EXPECT_EQ(header.height, 48);
    EXPECT_EQ(header.facts.orientation, 8);
    EXPECT_EQ(header.facts.taken_at, "2025-11-03T07:58:09");
    EXPECT_EQ(header.facts.focal_35mm, 26.0);
  }
}

TEST(CameraFacts, AreAbsentWithoutExif) {
  const FileHeader header = read_header(plain_jpeg());
  EXPECT_EQ(header.facts.orientation, 1);
  EXPECT_FALSE(header.facts.taken_at);
  EXPECT_FALSE(header.facts.focal_35mm);
}

TEST(CameraFacts, ValuesThatCannotBeAreAbsent) {
  EXPECT_EQ(facts_with({9, {}, {}}).orientation, 1);
  EXPECT_EQ(facts_with({0, {}, {}}).orientation, 1);
  EXPECT_FALSE(facts_with({1, {}, 0}).focal_35mm) << "0 means unknown in EXIF";
  EXPECT_FALSE(facts_with({1, {}, 5000}).focal_35mm);
  EXPECT_FALSE(facts_with({1, "0000:00:00 00:00:00", {}}).taken_at);
  EXPECT_FALSE(facts_with({1, "    :  :     :  :  ", {}}).taken_at);
  EXPECT_FALSE(facts_with({1, "yesterday morning..", {}}).taken_at);
}

TEST(CameraFacts, ADateThatIsNoDateIsAbsent) {
  EXPECT_FALSE(facts_with({1, "2025:13:03 07:58:09", {}}).taken_at);
  EXPECT_FALSE(facts_with({1, "2025:11:03 07<58:09", {}}).taken_at);
  EXPECT_FALSE(facts_with({1, "2025:02:30 07:58:09", {}}).taken_at);
  EXPECT_FALSE(facts_with({1, "2025:11:03 25:58:09", {}}).taken_at);
}

TEST(CameraFacts, DamagedExifDoesNotCostThePixels) {
  Bytes file = made::with_exif(plain_jpeg(), {6, "2025:11:03 07:58:09", 26});
  const std::string mark = "Exif";
  const auto at = std::search(file.begin(), file.end(), mark.begin(), mark.end());
  ASSERT_NE(at, file.end());
  std::fill(at + 6, at + 40, std::uint8_t{0xEE});
  const Photo photo = decode(file, 10.0);
  EXPECT_EQ(photo.facts().orientation, 1);
  EXPECT_EQ(photo.width(), 64);
}

// Exiv2 gives up on the rest of such a file.
TEST(CameraFacts, DamagedTextInAPngDoesNotCostThePixels) {
  Bytes file = made::with_exif(made::encode(made::lopsided_picture(64, 48), ".png"),
                               {6, "2025:11:03 07:58:09", 26});
  const std::string mark = "Raw profile type exif";
  const auto at = std::search(file.begin(), file.end(), mark.begin(), mark.end());
  ASSERT_NE(at, file.end());
  std::fill(at + 24, at + 60, std::uint8_t{0xEE});  // inside the compressed text
  EXPECT_EQ(decode(file, 10.0).planes().luma.width, 64);
}

TEST(CameraFacts, AnEmptyFileIsAnError) { EXPECT_THROW(read_header({}), PhotoError); }

}  // namespace
}  // namespace maturity
