#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "libmaturity/core/version.h"
#include "libmaturity/pipeline/measure_photo.h"

namespace maturity {
namespace {

using Json = nlohmann::json;

TEST(MeasurementJson, WhatIsNotKnownIsNull) {
  PhotoMeasurement photo;
  photo.path = "a.jpg";
  FruitMeasurement fruit;
  fruit.fruit = 1;
  fruit.outline_px = {{1.5, 2.25}, {3, 4}, {5, 1}};
  fruit.descriptors["elongation"] = std::numeric_limits<double>::quiet_NaN();
  fruit.descriptor_se["elongation"] = std::numeric_limits<double>::infinity();
  photo.fruits.push_back(fruit);
  const std::string text = to_json({photo});
  EXPECT_EQ(text.find("nan"), std::string::npos);
  EXPECT_EQ(text.find("inf"), std::string::npos);
  const Json j = Json::parse(text);
  EXPECT_EQ(j.at("version"), version());
  const Json& p = j.at("photos").at("a.jpg");
  for (const char* key : {"sha256", "width_px", "height_px", "taken_at", "error", "mm_per_px",
                          "mm_per_px_se", "tilt_deg", "camera_height_mm", "code_text"}) {
    EXPECT_TRUE(p.at(key).is_null()) << key;
  }
  EXPECT_TRUE(p.at("flags").is_array());
  const Json& f = p.at("fruits").at(0);
  for (const char* key : {"stem_px", "nose_px", "length_mm", "length_se_mm", "width_mm",
                          "width_se_mm", "mass_g_estimate", "mass_se_g"}) {
    EXPECT_TRUE(f.at(key).is_null()) << key;
  }
  EXPECT_TRUE(f.at("descriptors").at("elongation").is_null());
  EXPECT_TRUE(f.at("descriptor_se").at("elongation").is_null());
  EXPECT_EQ(f.at("outline_px").at(0), Json::array({1.5, 2.25}));
  EXPECT_EQ(f.at("ventral_side"), 0);
  EXPECT_EQ(f.at("usable"), false);
}

TEST(MeasurementJson, NumbersComeBackToTheLastBit) {
  PhotoMeasurement photo;
  photo.path = "a.jpg";
  photo.sha256 = "00";
  photo.width_px = 4000;
  photo.height_px = 3000;
  photo.taken_at = "2025-11-03T07:58:09";
  photo.mm_per_px = 1.0 / 3.0;
  photo.flags = {PhotoFlag::tilted, PhotoFlag::few_markers};
  FruitMeasurement fruit;
  fruit.fruit = 4;
  fruit.numbered_by_tile = true;
  fruit.length_mm = 117.23456789012345;
  fruit.flags = {FruitFlag::touching};
  fruit.stem_px = Point(0.1, 0.2);
  photo.fruits.push_back(fruit);
  for (const bool pretty : {false, true}) {
    const Json p = Json::parse(to_json({photo}, pretty)).at("photos").at("a.jpg");
    EXPECT_EQ(p.at("mm_per_px").get<double>(), 1.0 / 3.0);
    EXPECT_EQ(p.at("taken_at"), "2025-11-03T07:58:09");
    EXPECT_EQ(p.at("flags"), Json::array({"tilted", "few_markers"}));
    const Json& f = p.at("fruits").at(0);
    EXPECT_EQ(f.at("length_mm").get<double>(), 117.23456789012345);
    EXPECT_EQ(f.at("stem_px"), Json::array({0.1, 0.2}));
    EXPECT_EQ(f.at("flags"), Json::array({"touching"}));
    EXPECT_EQ(f.at("numbered_by_tile"), true);
  }
}

TEST(MeasurementJson, AnyFileNameGivesValidJson) {
  PhotoMeasurement photo;
  photo.path =
      "blocks/M\xFC"
      "ller \"1\"\n\\x.jpg";  // Latin-1, quotes, a line break
  photo.error = "The file is empty.";
  const Json j = Json::parse(to_json({photo}));
  EXPECT_EQ(j.at("photos").size(), 1U);
  EXPECT_EQ(j.at("photos").begin()->at("error"), "The file is empty.");
  photo.path = "caf\xC3\xA9.jpg";
  EXPECT_TRUE(Json::parse(to_json({photo})).at("photos").contains("caf\xC3\xA9.jpg"));
}

TEST(MeasurementJson, TwoNamesThatAreNotUtf8StayTwoPhotos) {
  std::vector<PhotoMeasurement> photos(2);
  photos[0].path = "a\xFC.jpg";
  photos[1].path = "a\xE4.jpg";
  const Json j = Json::parse(to_json(photos)).at("photos");
  EXPECT_EQ(j.size(), 2U);
  EXPECT_TRUE(j.contains("a%FC.jpg"));
}

TEST(MeasurementJson, NoPhotosIsAnEmptyObject) {
  EXPECT_EQ(Json::parse(to_json({})).at("photos"), Json::object());
}

}  // namespace
}  // namespace maturity
