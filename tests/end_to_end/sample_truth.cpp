#include "tests/end_to_end/sample_truth.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

namespace maturity::sample {

namespace {

using Json = nlohmann::json;

std::filesystem::path sample_images() {
  return std::filesystem::path(MATURITY_SOURCE_DIR) / "sample-images";
}

TrueFruit fruit_of(const Json& j) {
  TrueFruit fruit;
  fruit.number = j.at("fruit").get<int>();
  for (const Json& p : j.at("silhouette_px")) {
    fruit.silhouette_px.emplace_back(p.at(0).get<double>(), p.at(1).get<double>());
  }
  for (const Json& p : j.at("section_mm")) {
    fruit.section_mm.emplace_back(p.at(0).get<double>(), p.at(1).get<double>());
  }
  fruit.length_mm = j.at("length_mm").get<double>();
  fruit.width_mm = j.at("width_mm").get<double>();
  fruit.stem_px = Point(j.at("stem_px").at(0).get<double>(), j.at("stem_px").at(1).get<double>());
  fruit.nose_px = Point(j.at("nose_px").at(0).get<double>(), j.at("nose_px").at(1).get<double>());
  fruit.ventral_side = j.at("ventral_side").get<int>();
  fruit.traits = j.at("shape").get<std::map<std::string, double>>();
  fruit.fraction_in_frame = j.at("fraction_in_frame").get<double>();
  fruit.occluded_fraction = j.at("occluded_fraction").get<double>();
  fruit.touching = j.at("touching").get<bool>();
  return fruit;
}

TruePhoto photo_of(const Json& j) {
  TruePhoto photo;
  photo.path = j.at("photo").get<std::string>();
  photo.light = j.at("light").get<std::string>();
  photo.problem = j.at("problem").is_null() ? "" : j.at("problem").get<std::string>();
  photo.number_tiles = j.at("number_tiles").get<bool>();
  const Json& camera = j.at("camera");
  photo.mm_per_px = camera.at("mm_per_px").get<double>();
  photo.tilt_deg = camera.at("tilt_deg").get<double>();
  photo.camera_height_mm = camera.at("height_mm").get<double>();
  for (const Json& f : j.at("fruits")) {
    photo.fruits.push_back(fruit_of(f));
  }
  return photo;
}

}  // namespace

std::string TruePhoto::file() const {
  return (sample_images() / "season" / "photos" / path).string();
}

std::vector<TruePhoto> all_photos() {
  std::vector<TruePhoto> photos;
  for (const auto& entry :
       std::filesystem::recursive_directory_iterator(sample_images() / "truth")) {
    if (entry.path().extension() == ".json" && entry.path().filename() != "season.json") {
      std::ifstream file(entry.path());
      photos.push_back(photo_of(Json::parse(file)));
    }
  }
  std::sort(photos.begin(), photos.end(),
            [](const TruePhoto& a, const TruePhoto& b) { return a.path < b.path; });
  return photos;
}

const FruitMeasurement* find(const PhotoMeasurement& photo, const TrueFruit& fruit) {
  const Point centre = area_centroid(fruit.silhouette_px);
  for (const FruitMeasurement& f : photo.fruits) {
    if (!f.outline_px.empty() && contains(f.outline_px, centre)) {
      return &f;
    }
  }
  return nullptr;
}

}  // namespace maturity::sample
