#include "libmaturity/photo/camera_facts.h"

#include <chrono>
#include <exiv2/exiv2.hpp>
#include <mutex>
#include <string>

namespace maturity {

namespace {

// Exiv2's XMP part keeps global state; it asks its callers for a lock.
std::mutex& xmp_mutex() {
  static std::mutex mutex;
  return mutex;
}

void lock_xmp(void* /*unused*/, bool lock) {
  if (lock) {
    xmp_mutex().lock();
  } else {
    xmp_mutex().unlock();
  }
}

void prepare_exiv2() {
  static const bool kReady = [] {
    Exiv2::LogMsg::setLevel(Exiv2::LogMsg::mute);
    return Exiv2::XmpParser::initialize(lock_xmp, nullptr);
  }();
  static_cast<void>(kReady);
}

std::optional<std::string> iso_time(const std::string& exif) {
  // "YYYY:MM:DD HH:MM:SS"
  if (exif.size() < 19 || exif[4] != ':' || exif[7] != ':' || exif[10] != ' ' || exif[13] != ':' ||
      exif[16] != ':') {
    return std::nullopt;
  }
  for (const std::size_t i : {0U, 1U, 2U, 3U, 5U, 6U, 8U, 9U, 11U, 12U, 14U, 15U, 17U, 18U}) {
    if (exif[i] < '0' || exif[i] > '9') {
      return std::nullopt;
    }
  }
  const auto part = [&](std::size_t at, std::size_t count) {
    return std::stoi(exif.substr(at, count));
  };
  const std::chrono::year_month_day day{std::chrono::year{part(0, 4)},
                                        std::chrono::month{static_cast<unsigned>(part(5, 2))},
                                        std::chrono::day{static_cast<unsigned>(part(8, 2))}};
  if (part(0, 4) == 0 || !day.ok() || part(11, 2) > 23 || part(14, 2) > 59 || part(17, 2) > 59) {
    return std::nullopt;  // a phone whose clock was never set, or a damaged file
  }
  std::string iso = exif.substr(0, 19);
  iso[4] = iso[7] = '-';
  iso[10] = 'T';
  return iso;
}

CameraFacts facts_from(const Exiv2::ExifData& exif) {
  CameraFacts facts;
  const auto find = [&](const char* key) { return exif.findKey(Exiv2::ExifKey(key)); };
  if (const auto it = find("Exif.Image.Orientation"); it != exif.end() && it->count() > 0) {
    const auto value = it->toLong();
    facts.orientation = value >= 1 && value <= 8 ? static_cast<int>(value) : 1;
  }
  if (const auto it = find("Exif.Photo.FocalLengthIn35mmFilm");
      it != exif.end() && it->count() > 0) {
    const auto value = it->toFloat();
    if (value >= 8.0F && value <= 400.0F) {
      facts.focal_35mm = static_cast<double>(value);
    }
  }
  for (const char* key : {"Exif.Photo.DateTimeOriginal", "Exif.Image.DateTime"}) {
    if (const auto it = find(key); it != exif.end() && !facts.taken_at) {
      facts.taken_at = iso_time(it->toString());
    }
  }
  return facts;
}

}  // namespace

FileHeader read_header(std::span<const std::uint8_t> bytes) {
  prepare_exiv2();
  if (bytes.empty()) {
    throw PhotoError("The file is empty.");
  }
  FileHeader header;
  bool metadata_whole = true;
  try {
    const auto image = Exiv2::ImageFactory::open(bytes.data(), static_cast<long>(bytes.size()));
    if (image.get() == nullptr) {
      throw PhotoError("The file is not a photo in JPEG, HEIC, PNG, TIFF or WebP form.");
    }
    try {
      image->readMetadata();
    } catch (const Exiv2::Error&) {
      metadata_whole = false;  // what was read before the damage still holds
    }
    header.width = static_cast<int>(image->pixelWidth());
    header.height = static_cast<int>(image->pixelHeight());
    try {
      header.facts = metadata_whole ? facts_from(image->exifData()) : CameraFacts{};
    } catch (const std::exception&) {
      header.facts = {};
    }
  } catch (const PhotoError&) {
    throw;
  } catch (const std::exception&) {
    // Damaged metadata must not cost the pixels: the decoder gives the final word.
    header.facts = {};
  }
  return header;
}

CameraFacts read_exif(std::span<const std::uint8_t> tiff) {
  prepare_exiv2();
  try {
    Exiv2::ExifData exif;
    Exiv2::ExifParser::decode(exif, tiff.data(), static_cast<std::uint32_t>(tiff.size()));
    return facts_from(exif);
  } catch (const std::exception&) {
    return {};
  }
}

}  // namespace maturity
