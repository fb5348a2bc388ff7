#include "libmaturity/plain/photos.h"

#include "libmaturity/pipeline/measure_photo.h"

namespace maturity::plain {

namespace {

template <typename Flag>
std::vector<std::string> flag_names(const std::vector<Flag>& flags) {
  std::vector<std::string> names;
  names.reserve(flags.size());
  for (const Flag flag : flags) {
    names.emplace_back(name(flag));
  }
  return names;
}

Fruit plain_fruit(const FruitMeasurement& measured) {
  Fruit fruit;
  fruit.fruit = measured.fruit;
  fruit.numbered_by_tile = measured.numbered_by_tile;
  fruit.usable = measured.usable;
  fruit.outline_px.reserve(measured.outline_px.size());
  for (const auto& point : measured.outline_px) {
    fruit.outline_px.push_back({point.x(), point.y()});
  }
  fruit.length_mm = measured.length_mm;
  fruit.length_se_mm = measured.length_se_mm;
  fruit.width_mm = measured.width_mm;
  fruit.width_se_mm = measured.width_se_mm;
  fruit.flags = flag_names(measured.flags);
  fruit.descriptors = measured.descriptors;
  fruit.descriptor_se = measured.descriptor_se;
  return fruit;
}

Photo plain_photo(const PhotoMeasurement& measured) {
  Photo photo;
  photo.path = measured.path;
  photo.sha256 = measured.sha256;
  photo.error = measured.error;
  photo.taken_at = measured.taken_at;
  photo.code_text = measured.code_text;
  photo.mm_per_px = measured.mm_per_px;
  photo.mm_per_px_se = measured.mm_per_px_se;
  photo.flags = flag_names(measured.flags);
  photo.fruits.reserve(measured.fruits.size());
  for (const auto& fruit : measured.fruits) {
    photo.fruits.push_back(plain_fruit(fruit));
  }
  return photo;
}

}  // namespace

std::vector<Photo> measure_photos(const std::vector<std::string>& paths, const Limits& limits) {
  MeasureSettings settings;
  settings.max_megapixels = limits.max_megapixels;
  settings.max_seconds = limits.max_seconds;
  settings.threads = limits.threads;
  std::vector<Photo> photos(paths.size());
  measure_each_photo(paths, settings, [&](std::size_t index, PhotoMeasurement&& measured) {
    photos[index] = plain_photo(measured);
    return true;
  });
  return photos;
}

}  // namespace maturity::plain
