#include "libmaturity/photo/camera_facts.h"

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
  if (exif.size() < 19 || exif[4] != ':' || exif[7] != ':' || exif[10] != ' ') {
    return std::nullopt;
  }
  for (const std::size_t i : {0U, 1U, 2U, 3U, 5U, 6U, 8U, 9U, 11U, 12U, 14U, 15U, 17U, 18U}) {
    if (exif[i] < '0' || exif[i] > '9') {
      return std::nullopt;
    }
  }
  if (exif.compare(0, 4, "0000") == 0) {
    return std::nullopt;
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
  try {
    const auto image = Exiv2::ImageFactory::open(bytes.data(), static_cast<long>(bytes.size()));
    if (image.get() == nullptr) {
      throw PhotoError("The file is not a photo in JPEG, PNG, TIFF or WebP form.");
    }
    image->readMetadata();
    header.width = static_cast<int>(image->pixelWidth());
    header.height = static_cast<int>(image->pixelHeight());
    try {
      header.facts = facts_from(image->exifData());
    } catch (const std::exception&) {
      header.facts = {};
    }
  } catch (const PhotoError&) {
    throw;
  } catch (const std::exception&) {
    // Damaged metadata must not cost the pixels: the decoder gives the final word.
    header = {};
  }
  return header;
}

}  // namespace maturity
