#include "tools/measure/photo_list.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <stdexcept>
#include <string_view>

namespace maturity::tools {

namespace {

bool looks_like_photo(const std::filesystem::path& path) {
  constexpr std::array<std::string_view, 7> kEndings{".jpg",  ".jpeg", ".png", ".tif",
                                                     ".tiff", ".webp", ".heic"};
  std::string ending = path.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::find(kEndings.begin(), kEndings.end(), ending) != kEndings.end();
}

}  // namespace

std::vector<std::string> list_photos(const std::vector<std::string>& paths) {
  namespace fs = std::filesystem;
  std::vector<std::string> photos;
  for (const std::string& path : paths) {
    std::error_code code;
    if (!fs::exists(path, code)) {
      throw std::invalid_argument(path + ": there is no such file or folder");
    }
    if (!fs::is_directory(path, code)) {
      photos.push_back(path);
      continue;
    }
    std::vector<std::string> inside;
    fs::recursive_directory_iterator it(path, fs::directory_options::skip_permission_denied, code);
    if (code) {
      throw std::invalid_argument(path + ": the folder cannot be read (" + code.message() + ")");
    }
    for (; it != fs::recursive_directory_iterator(); it.increment(code)) {
      if (code) {
        throw std::invalid_argument(path + ": " + code.message());
      }
      if (looks_like_photo(it->path())) {
        inside.push_back(it->path().string());
      }
    }
    std::sort(inside.begin(), inside.end());
    photos.insert(photos.end(), inside.begin(), inside.end());
  }
  return photos;
}

}  // namespace maturity::tools
