#include <cmath>
#include <nlohmann/json.hpp>
#include <string_view>

#include "libmaturity/core/version.h"
#include "libmaturity/pipeline/measure_photo.h"

namespace maturity {

namespace {

using Json = nlohmann::ordered_json;

// Length of the valid UTF-8 sequence that begins at `at`, 0 when there is none (RFC 3629).
std::size_t utf8_length(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned lead = byte(at);
  const std::size_t length = lead < 0x80U                    ? 1
                             : lead >= 0xC2U && lead < 0xE0U ? 2
                             : lead >= 0xE0U && lead < 0xF0U ? 3
                             : lead >= 0xF0U && lead < 0xF5U ? 4
                                                             : 0;
  if (length == 0 || at + length > text.size()) {
    return 0;
  }
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte(at + k) & 0xC0U) != 0x80U) {
      return 0;
    }
  }
  const bool overlong =
      (lead == 0xE0U && byte(at + 1) < 0xA0U) || (lead == 0xF0U && byte(at + 1) < 0x90U);
  const bool surrogate = lead == 0xEDU && byte(at + 1) >= 0xA0U;
  const bool beyond = lead == 0xF4U && byte(at + 1) >= 0x90U;
  return overlong || surrogate || beyond ? 0 : length;
}

// File names need not be UTF-8: a byte that is not becomes %XX, so two names stay two.
std::string as_utf8(const std::string& name) {
  constexpr std::string_view kDigits = "0123456789ABCDEF";
  std::string text;
  for (std::size_t i = 0; i < name.size();) {
    const std::size_t length = utf8_length(name, i);
    if (length > 0) {
      text.append(name, i, length);
      i += length;
    } else {
      const auto byte = static_cast<unsigned char>(name[i++]);
      text += '%';
      text += kDigits[byte >> 4U];
      text += kDigits[byte & 15U];
    }
  }
  return text;
}

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
    j["photos"][as_utf8(p.path)] = photo_json(p);
  }
  // Text read from a photo need not be UTF-8 either.
  return j.dump(pretty ? 2 : -1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace maturity
