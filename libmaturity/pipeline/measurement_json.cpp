#include <cmath>
#include <nlohmann/json.hpp>

#include "libmaturity/core/version.h"
#include "libmaturity/pipeline/measure_photo.h"

namespace maturity {

namespace {

using Json = nlohmann::ordered_json;

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json number(const std::optional<double>& value) { return value ? number(*value) : Json(nullptr); }

Json text(const std::optional<std::string>& value) { return value ? Json(*value) : Json(nullptr); }

Json point(const Point& p) { return Json::array({number(p.x()), number(p.y())}); }

Json point(const std::optional<Point>& p) { return p ? point(*p) : Json(nullptr); }

Json points(const Polygon& polygon) {
  Json list = Json::array();
  for (const Point& p : polygon) {
    list.push_back(point(p));
  }
  return list;
}

template <typename Flag>
Json names(const std::vector<Flag>& flags) {
  Json list = Json::array();
  for (const Flag flag : flags) {
    list.push_back(std::string(name(flag)));
  }
  return list;
}

Json values(const std::map<std::string, double>& map) {
  Json object = Json::object();
  for (const auto& [key, value] : map) {
    object[key] = number(value);
  }
  return object;
}

Json fruit_json(const FruitMeasurement& f) {
  Json j;
  j["fruit"] = f.fruit;
  j["numbered_by_tile"] = f.numbered_by_tile;
  j["outline_px"] = points(f.outline_px);
  j["outline_se_px"] = number(f.outline_se_px);
  j["outline_mm"] = points(f.outline_mm);
  j["stem_px"] = point(f.stem_px);
  j["nose_px"] = point(f.nose_px);
  j["ventral_side"] = f.ventral_side;
  j["axis_probability"] = number(f.axis_probability);
  j["side_probability"] = number(f.side_probability);
  j["length_mm"] = number(f.length_mm);
  j["length_se_mm"] = number(f.length_se_mm);
  j["width_mm"] = number(f.width_mm);
  j["width_se_mm"] = number(f.width_se_mm);
  j["mass_g_estimate"] = number(f.mass_g_estimate);
  j["mass_se_g"] = number(f.mass_se_g);
  j["flags"] = names(f.flags);
  j["usable"] = f.usable;
  j["descriptors"] = values(f.descriptors);
  j["descriptor_se"] = values(f.descriptor_se);
  return j;
}

Json photo_json(const PhotoMeasurement& p) {
  Json j;
  j["sha256"] = p.sha256.empty() ? Json(nullptr) : Json(p.sha256);
  j["width_px"] = p.width_px > 0 ? Json(p.width_px) : Json(nullptr);
  j["height_px"] = p.height_px > 0 ? Json(p.height_px) : Json(nullptr);
  j["taken_at"] = text(p.taken_at);
  j["error"] = text(p.error);
  j["flags"] = names(p.flags);
  j["mm_per_px"] = number(p.mm_per_px);
  j["mm_per_px_se"] = number(p.mm_per_px_se);
  j["tilt_deg"] = number(p.tilt_deg);
  j["camera_height_mm"] = number(p.camera_height_mm);
  j["code_text"] = text(p.code_text);
  j["seconds"] = number(p.seconds);
  j["fruits"] = Json::array();
  for (const FruitMeasurement& f : p.fruits) {
    j["fruits"].push_back(fruit_json(f));
  }
  return j;
}

}  // namespace

std::string to_json(const std::vector<PhotoMeasurement>& photos, bool pretty) {
  Json j;
  j["version"] = version();
  j["photos"] = Json::object();
  for (const PhotoMeasurement& p : photos) {
    j["photos"][p.path] = photo_json(p);
  }
  // File names need not be UTF-8; what is not becomes the replacement character.
  return j.dump(pretty ? 2 : -1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace maturity
