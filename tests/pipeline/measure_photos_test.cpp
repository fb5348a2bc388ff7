#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <opencv2/core/utility.hpp>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "libmaturity/photo/file_hash.h"
#include "libmaturity/pipeline/measure_photo.h"
#include "tests/pipeline/board_scene.h"

namespace maturity {
namespace {

using made::Bytes;
using testing::Contains;
using testing::HasSubstr;

const Bytes& good_photo() {
  static const Bytes kFile = [] {
    made::BoardScene scene;
    scene.fruit = made::five_fruit();
    scene.stand.tilt_deg = 3.0;
    return made::jpeg_of(scene);
  }();
  return kFile;
}

const Bytes& other_photo() {
  static const Bytes kFile = [] {
    made::BoardScene scene;
    scene.fruit = made::five_fruit();
    scene.fruit.resize(2);
    scene.seed = 5;
    return made::jpeg_of(scene);
  }();
  return kFile;
}

std::string json_without_time(std::vector<PhotoMeasurement> photos) {
  for (PhotoMeasurement& p : photos) {
    p.seconds = 0.0;
  }
  return to_json(photos);
}

MeasureSettings with_threads(int threads) {
  MeasureSettings settings;
  settings.threads = threads;
  return settings;
}

TEST(MeasurePhotos, AGoodPhotoIsMeasuredWhole) {
  const PhotoMeasurement photo = measure_photo_bytes(good_photo(), "a.jpg");
  EXPECT_FALSE(photo.error) << *photo.error;
  EXPECT_EQ(photo.path, "a.jpg");
  EXPECT_EQ(photo.sha256, sha256_hex(good_photo()));
  EXPECT_EQ(photo.width_px, 1200);
  EXPECT_EQ(photo.height_px, 900);
  EXPECT_EQ(photo.taken_at, "2025-11-03T07:58:09");
  EXPECT_TRUE(photo.flags.empty());
  ASSERT_TRUE(photo.mm_per_px && photo.mm_per_px_se && photo.tilt_deg && photo.camera_height_mm);
  made::BoardScene scene;
  scene.stand.tilt_deg = 3.0;
  EXPECT_NEAR(*photo.mm_per_px, scene.camera().mm_per_px(), 3.0 * *photo.mm_per_px_se);
  EXPECT_NEAR(*photo.tilt_deg, 3.0, 0.5);
  EXPECT_NEAR(*photo.camera_height_mm, scene.camera().position.z(), 30.0);
  ASSERT_EQ(photo.fruits.size(), 5U);
  for (std::size_t i = 0; i < 5; ++i) {
    const FruitMeasurement& f = photo.fruits[i];
    EXPECT_EQ(f.fruit, static_cast<int>(i) + 1);
    EXPECT_TRUE(contains(f.outline_px, made::five_fruit()[i].centre)) << "reading order";
    EXPECT_FALSE(f.numbered_by_tile);
    EXPECT_TRUE(f.length_mm && f.length_se_mm && f.width_mm && f.width_se_mm);
    EXPECT_FALSE(f.outline_mm.empty());
    EXPECT_FALSE(f.descriptors.empty());
    for (const auto& [name, value] : f.descriptors) {
      EXPECT_TRUE(std::isfinite(value)) << name;
    }
  }
}

// A pinhole right above an ellipsoid that rests on the board shows it larger by sqrt(H / (H - 2c))
// both ways (scale the upright axis until it is a sphere: its tangent cone).
TEST(MeasurePhotos, AnEllipsoidBelowTheCameraGetsItsTrueSize) {
  constexpr double kA = 60.0;
  constexpr double kB = 45.0;
  constexpr double kC = 0.82 * kB;
  made::BoardScene scene;
  const made::Camera camera = scene.camera();
  const double height = scene.stand.height_mm;
  const double grow = std::sqrt(height / (height - 2.0 * kC)) / camera.mm_per_px();
  made::DrawnFruit fruit;
  fruit.centre = camera.principal();
  fruit.a = kA * grow;
  fruit.b = kB * grow;
  fruit.turn_rad = 0.4;
  fruit.stem_px = 20.0;
  scene.fruit = {fruit};
  MeasureSettings settings;
  settings.flank_exponent = 2.0;
  const Bytes file = made::jpeg_of(scene);
  const PhotoMeasurement photo = measure_photo_bytes(file, "a.jpg", settings);
  ASSERT_EQ(photo.fruits.size(), 1U);
  const FruitMeasurement& f = photo.fruits[0];
  ASSERT_TRUE(f.length_mm && f.width_mm);
  EXPECT_NEAR(*f.length_mm, 2.0 * kA, 0.005 * 2.0 * kA);
  EXPECT_NEAR(*f.width_mm, 2.0 * kB, 0.006 * 2.0 * kB);
  EXPECT_NEAR(*f.length_mm, 2.0 * kA, 2.0 * *f.length_se_mm);
  EXPECT_NEAR(*f.width_mm, 2.0 * kB, 2.0 * *f.width_se_mm);
  EXPECT_GT(std::abs(2.0 * fruit.b * camera.mm_per_px() - 2.0 * kB), 0.03 * 2.0 * kB)
      << "scaled at the board it is too large";
  // A measured thickness takes the place of the usual ratio.
  settings.thickness_mm[1] = 90.0;
  const PhotoMeasurement thick = measure_photo_bytes(file, "a.jpg", settings);
  const double expected = 2.0 * kA * std::sqrt((height - 90.0) / (height - 2.0 * kC));
  EXPECT_NEAR(*thick.fruits.at(0).length_mm, expected, 0.006 * expected);
  EXPECT_LT(*thick.fruits.at(0).length_mm, *f.length_mm);
}

TEST(MeasurePhotos, ResultsKeepTheOrderAndDoNotDependOnThreads) {
  const made::TemporaryFolder folder;
  std::vector<std::string> paths;
  paths.reserve(6);
  for (int i = 0; i < 5; ++i) {
    paths.push_back(
        folder.put("p" + std::to_string(i) + ".jpg", i % 2 == 0 ? good_photo() : other_photo()));
  }
  paths.push_back(folder.put("torn.jpg", Bytes(good_photo().begin(), good_photo().begin() + 9000)));
  const auto one = measure_photos(paths, with_threads(1));
  ASSERT_EQ(one.size(), paths.size());
  for (std::size_t i = 0; i < paths.size(); ++i) {
    EXPECT_EQ(one[i].path, paths[i]);
  }
  EXPECT_EQ(one[0].fruits.size(), 5U);
  EXPECT_EQ(one[1].fruits.size(), 2U);
  const std::string expected = json_without_time(one);
  for (const int threads : {2, 4}) {
    EXPECT_EQ(json_without_time(measure_photos(paths, with_threads(threads))), expected) << threads;
  }
  EXPECT_EQ(json_without_time({measure_photo(paths[0])}), json_without_time({one[0]}));
}

TEST(MeasurePhotos, BadFilesBetweenGoodOnesCostNothing) {
  const made::TemporaryFolder folder;
  const std::string text = "dear all, the photos follow tomorrow";
  const std::vector<std::string> paths{
      folder.put("good.jpg", other_photo()),
      folder.put("letter.jpg", Bytes(text.begin(), text.end())),
      folder.put("empty.jpg", {}),
      folder.put("torn.jpg", Bytes(good_photo().begin(), good_photo().begin() + 20000)),
      (folder.path() / "gone.jpg").string(),
      folder.path().string(),
      folder.put("again.jpg", other_photo())};
  const auto photos = measure_photos(paths, with_threads(2));
  ASSERT_EQ(photos.size(), paths.size());
  EXPECT_FALSE(photos[0].error);
  EXPECT_THAT(photos[1].error.value_or(""), HasSubstr("not a photo"));
  EXPECT_THAT(photos[2].error.value_or(""), HasSubstr("empty"));
  EXPECT_THAT(photos[3].error.value_or(""), HasSubstr("cut short"));
  EXPECT_THAT(photos[4].error.value_or(""), HasSubstr("no such file"));
  EXPECT_THAT(photos[5].error.value_or(""), HasSubstr("folder"));
  EXPECT_FALSE(photos[6].error);
  for (std::size_t i = 1; i <= 5; ++i) {
    EXPECT_TRUE(photos[i].fruits.empty());
    EXPECT_TRUE(photos[i].flags.empty()) << "an error is no flag";
    EXPECT_FALSE(photos[i].mm_per_px);
  }
  EXPECT_EQ(photos[0].fruits.size(), photos[6].fruits.size());
  EXPECT_EQ(photos[0].sha256, photos[6].sha256);
}

TEST(MeasurePhotos, TheCallbackSeesEveryPhotoOnceAndMayStop) {
  const made::TemporaryFolder folder;
  const std::string path = folder.put("empty.jpg", {});
  const std::vector<std::string> paths(12, path);
  std::vector<int> seen(paths.size(), 0);
  const auto all = measure_photos(paths, with_threads(3), [&](std::size_t i, const auto& photo) {
    ++seen.at(i);
    EXPECT_EQ(photo.path, path);
    return true;
  });
  EXPECT_EQ(seen, std::vector<int>(paths.size(), 1));
  int calls = 0;
  const auto stopped =
      measure_photos(paths, with_threads(1), [&](std::size_t, const auto&) { return ++calls < 3; });
  EXPECT_EQ(calls, 3);
  ASSERT_EQ(stopped.size(), paths.size());
  EXPECT_THAT(stopped[2].error.value_or(""), HasSubstr("empty"));
  for (std::size_t i = 3; i < stopped.size(); ++i) {
    EXPECT_EQ(stopped[i].path, path);
    EXPECT_THAT(stopped[i].error.value_or(""), HasSubstr("stopped"));
  }
}

TEST(MeasurePhotos, APhotoThatTakesTooLongIsGivenUpAndTheOthersAreNot) {
  const made::TemporaryFolder folder;
  const std::vector<std::string> paths{folder.put("good.jpg", good_photo()),
                                       folder.put("empty.jpg", {})};
  MeasureSettings settings = with_threads(2);
  settings.max_seconds = 0.0;
  const auto late = measure_photos(paths, settings);
  EXPECT_THAT(late[0].error.value_or(""), HasSubstr("longer than the limit of 0 seconds"));
  EXPECT_TRUE(late[0].error_may_pass);
  EXPECT_TRUE(late[0].fruits.empty());
  EXPECT_THAT(late[1].error.value_or(""), HasSubstr("empty"));
  EXPECT_FALSE(late[1].error_may_pass) << "an empty file stays empty";
  settings.max_seconds = 3600.0;
  EXPECT_FALSE(measure_photos(paths, settings)[0].error);
}

TEST(MeasurePhotos, EachPhotoIsHandedOnOnceWithTheSameResult) {
  const made::TemporaryFolder folder;
  const std::vector<std::string> paths{folder.put("a.jpg", good_photo()),
                                       folder.put("b.jpg", other_photo()),
                                       folder.put("none.jpg", {})};
  std::vector<PhotoMeasurement> taken(paths.size());
  int calls = 0;
  measure_each_photo(paths, with_threads(2), [&](std::size_t i, PhotoMeasurement&& photo) {
    ++calls;
    taken.at(i) = std::move(photo);
    return true;
  });
  EXPECT_EQ(calls, 3);
  EXPECT_EQ(json_without_time(taken), json_without_time(measure_photos(paths)));
  calls = 0;
  measure_each_photo(paths, with_threads(1), [&](std::size_t, auto&&) { return ++calls < 2; });
  EXPECT_EQ(calls, 2);
}

TEST(MeasurePhotos, AnExceptionOfTheCallbackComesOut) {
  const std::vector<std::string> paths(6, "none.jpg");
  const int before = cv::getNumThreads();
  EXPECT_THROW(measure_photos(paths, with_threads(2),
                              [](std::size_t, const auto&) -> bool {
                                throw std::runtime_error("the user's own");
                              }),
               std::runtime_error);
  EXPECT_EQ(cv::getNumThreads(), before);
}

TEST(MeasurePhotos, OpenCvsThreadsArePutBack) {
  const int before = cv::getNumThreads();
  measure_photos({"none.jpg", "none either.jpg"}, with_threads(2));
  EXPECT_EQ(cv::getNumThreads(), before);
}

TEST(MeasurePhotos, NoPhotosGiveNoResults) { EXPECT_TRUE(measure_photos({}).empty()); }

TEST(MeasurePhotos, AnEmptyPathIsAMissingFile) {
  const auto photos = measure_photos({""});
  EXPECT_THAT(photos.at(0).error.value_or(""), HasSubstr("no such file"));
}

TEST(MeasurePhotos, WithoutFruitThePhotoSaysSo) {
  const PhotoMeasurement photo = measure_photo_bytes(made::jpeg_of({}), "a.jpg");
  EXPECT_FALSE(photo.error);
  EXPECT_TRUE(photo.fruits.empty());
  EXPECT_EQ(photo.flags, std::vector<PhotoFlag>{PhotoFlag::no_fruit});
  EXPECT_TRUE(photo.mm_per_px);
}

TEST(MeasurePhotos, WithoutMarkersShapeRemainsAndSizesAreAbsent) {
  made::BoardScene scene;
  scene.markers.clear();
  scene.fruit = made::five_fruit();
  const PhotoMeasurement photo = measure_photo_bytes(made::jpeg_of(scene), "a.jpg");
  EXPECT_EQ(photo.flags, std::vector<PhotoFlag>{PhotoFlag::no_markers});
  EXPECT_FALSE(photo.mm_per_px || photo.mm_per_px_se || photo.tilt_deg || photo.camera_height_mm);
  ASSERT_EQ(photo.fruits.size(), 5U);
  for (const FruitMeasurement& f : photo.fruits) {
    EXPECT_FALSE(f.length_mm || f.length_se_mm || f.width_mm || f.width_se_mm ||
                 f.mass_g_estimate || f.mass_se_g);
    EXPECT_TRUE(f.outline_mm.empty());
    EXPECT_TRUE(f.descriptors.count("elongation"));
  }
}

TEST(MeasurePhotos, FewMarkersAndTiltAreFlagged) {
  made::BoardScene scene;
  scene.fruit = made::five_fruit();
  scene.markers.resize(2);
  EXPECT_THAT(measure_photo_bytes(made::jpeg_of(scene), "a.jpg").flags,
              Contains(PhotoFlag::few_markers));
  made::BoardScene tilted;
  tilted.fruit = made::five_fruit();
  tilted.stand.tilt_deg = 19.0;
  const PhotoMeasurement photo = measure_photo_bytes(made::jpeg_of(tilted), "a.jpg");
  EXPECT_THAT(photo.flags, Contains(PhotoFlag::tilted));
  for (const FruitMeasurement& f : photo.fruits) {
    EXPECT_FALSE(f.usable);
  }
}

TEST(MeasurePhotos, DarkOverexposedAndBlurredPhotosAreFlaggedAndNotScored) {
  struct Case {
    double exposure;
    double blur_px;
    PhotoFlag flag;
  };
  for (const Case& c :
       {Case{0.03, 0.7, PhotoFlag::too_dark}, Case{8.0, 0.7, PhotoFlag::overexposed},
        Case{1.0, 2.6, PhotoFlag::blurred}}) {
    made::BoardScene scene;
    scene.fruit = made::five_fruit();
    scene.exposure = c.exposure;
    scene.blur_px = c.blur_px;
    const PhotoMeasurement photo = measure_photo_bytes(made::jpeg_of(scene), "a.jpg");
    EXPECT_THAT(photo.flags, Contains(c.flag));
    for (const FruitMeasurement& f : photo.fruits) {
      EXPECT_FALSE(f.usable);
    }
  }
}

TEST(MeasurePhotos, TilesGiveTheirNumbers) {
  made::BoardScene scene;
  scene.fruit = made::five_fruit();
  scene.fruit.resize(2);
  const made::Camera camera = scene.camera();
  for (int i = 0; i < 2; ++i) {
    made::LaidMarker tile;
    tile.id = 10 + 6 - i;  // number 7 at the first fruit, 6 at the second
    tile.width_mm = 30.0;
    tile.centre_mm =
        camera.on_board(scene.fruit[static_cast<std::size_t>(i)].centre + Point(0.0, 130.0));
    scene.markers.push_back(tile);
  }
  const PhotoMeasurement photo = measure_photo_bytes(made::jpeg_of(scene), "a.jpg");
  ASSERT_EQ(photo.fruits.size(), 2U);
  EXPECT_EQ(photo.fruits[0].fruit, 6);
  EXPECT_EQ(photo.fruits[1].fruit, 7);
  EXPECT_TRUE(photo.fruits[0].numbered_by_tile && photo.fruits[1].numbered_by_tile);
  EXPECT_TRUE(contains(photo.fruits[1].outline_px, scene.fruit[0].centre));
}

TEST(MeasurePhotos, EveryOrientationOfTheFileGivesTheSameFruit) {
  made::BoardScene scene;
  scene.fruit = made::five_fruit();
  scene.stand.tilt_deg = 3.0;
  const PhotoMeasurement expected = measure_photo_bytes(made::png_of(scene, {1, {}, 26}), "a.png");
  ASSERT_EQ(expected.fruits.size(), 5U);
  for (const int orientation : {3, 5, 6, 8}) {
    const PhotoMeasurement photo =
        measure_photo_bytes(made::png_of(scene, {orientation, {}, 26}), "a.png");
    ASSERT_EQ(photo.fruits.size(), expected.fruits.size()) << orientation;
    EXPECT_EQ(photo.width_px, 1200);
    for (std::size_t i = 0; i < photo.fruits.size(); ++i) {
      EXPECT_LT(made::compare(photo.fruits[i].outline_px, expected.fruits[i].outline_px).mean,
                0.001);
      EXPECT_NEAR(*photo.fruits[i].length_mm, *expected.fruits[i].length_mm, 1e-3);
      EXPECT_EQ(photo.fruits[i].ventral_side, expected.fruits[i].ventral_side);
    }
  }
}

TEST(MeasurePhotos, AMirroredPhotoIsFlagged) {
  made::BoardScene scene;
  scene.fruit = made::five_fruit();
  cv::Mat mirrored;
  cv::flip(made::draw(scene), mirrored, 1);
  const PhotoMeasurement photo = measure_photo_bytes(made::encode(mirrored, ".jpg"), "a.jpg");
  EXPECT_FALSE(photo.error);
  EXPECT_THAT(photo.flags, Contains(PhotoFlag::no_markers));
  EXPECT_FALSE(photo.mm_per_px);
}

TEST(MeasurePhotos, APhotoLargerThanTheLimitIsRefused) {
  MeasureSettings settings;
  settings.max_megapixels = 1.0;
  EXPECT_THAT(measure_photo_bytes(good_photo(), "a.jpg", settings).error.value_or(""),
              HasSubstr("megapixels"));
}

}  // namespace
}  // namespace maturity
