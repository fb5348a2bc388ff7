#include "libmaturity/plain/photos.h"

#include <gtest/gtest.h>

#include "libmaturity/pipeline/measure_photo.h"

namespace maturity {
namespace {

const std::string kPhoto =
    std::string(MATURITY_SOURCE_DIR) + "/sample-images/season/photos/Weir/IMG_1211.jpg";

TEST(PlainPhotos, SayWhatTheFullResultSays) {
  const auto photos = plain::measure_photos({kPhoto, "no such photo.jpg"}, {120.0, 60.0, 1});
  ASSERT_EQ(photos.size(), 2U);
  const PhotoMeasurement full = measure_photo(kPhoto);
  const plain::Photo& photo = photos[0];
  EXPECT_EQ(photo.path, kPhoto);
  EXPECT_EQ(photo.sha256, full.sha256);
  EXPECT_EQ(photo.mm_per_px, full.mm_per_px);
  EXPECT_EQ(photo.mm_per_px_se, full.mm_per_px_se);
  EXPECT_EQ(photo.taken_at, full.taken_at);
  EXPECT_EQ(photo.code_text, full.code_text);
  EXPECT_EQ(photo.flags.size(), full.flags.size());
  ASSERT_GT(photo.fruits.size(), 1U);
  ASSERT_EQ(photo.fruits.size(), full.fruits.size());
  for (std::size_t i = 0; i < full.fruits.size(); ++i) {
    const FruitMeasurement& theirs = full.fruits[i];
    const plain::Fruit& ours = photo.fruits[i];
    EXPECT_EQ(ours.fruit, theirs.fruit);
    EXPECT_EQ(ours.usable, theirs.usable);
    EXPECT_EQ(ours.numbered_by_tile, theirs.numbered_by_tile);
    EXPECT_EQ(ours.length_mm, theirs.length_mm);
    EXPECT_EQ(ours.length_se_mm, theirs.length_se_mm);
    EXPECT_EQ(ours.width_mm, theirs.width_mm);
    EXPECT_EQ(ours.width_se_mm, theirs.width_se_mm);
    EXPECT_EQ(ours.descriptors, theirs.descriptors);
    EXPECT_EQ(ours.descriptor_se, theirs.descriptor_se);
    ASSERT_EQ(ours.flags.size(), theirs.flags.size());
    for (std::size_t k = 0; k < theirs.flags.size(); ++k) {
      EXPECT_EQ(ours.flags[k], name(theirs.flags[k]));
    }
    ASSERT_EQ(ours.outline_px.size(), theirs.outline_px.size());
    for (std::size_t k = 0; k < theirs.outline_px.size(); ++k) {
      EXPECT_EQ(Point(ours.outline_px[k].x, ours.outline_px[k].y), theirs.outline_px[k]);
    }
  }
  EXPECT_TRUE(photos[1].error.has_value());
  EXPECT_TRUE(photos[1].fruits.empty());
}

}  // namespace
}  // namespace maturity
