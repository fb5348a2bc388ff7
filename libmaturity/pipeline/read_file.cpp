#include "libmaturity/pipeline/read_file.h"

#include <filesystem>
#include <fstream>
#include <system_error>

#include "libmaturity/photo/photo.h"

namespace maturity {

std::vector<std::uint8_t> read_file(const std::string& path) {
  constexpr std::uintmax_t kMostBytes = std::uintmax_t{1} << 30U;
  std::error_code code;
  const auto status = std::filesystem::status(path, code);
  if (!std::filesystem::exists(status)) {
    throw PhotoError(code && code != std::errc::no_such_file_or_directory
                         ? "The file cannot be reached: " + code.message() + "."
                         : "There is no such file.");
  }
  if (!std::filesystem::is_regular_file(status)) {
    throw PhotoError("This is not a file but a folder or a device.");
  }
  const std::uintmax_t size = std::filesystem::file_size(path, code);
  if (code) {
    throw PhotoError("The file cannot be read: " + code.message() + ".");
  }
  if (size > kMostBytes) {
    throw PhotoError("The file is larger than 1 GiB, no photo of a board is.");
  }
  std::ifstream file(path, std::ios::binary);
  std::vector<std::uint8_t> bytes(static_cast<std::size_t>(size));
  if (!file || (size > 0 && !file.read(reinterpret_cast<char*>(bytes.data()),  // NOLINT: bytes
                                       static_cast<std::streamsize>(size)))) {
    throw PhotoError("The file cannot be read (no permission, or the medium is failing).");
  }
  return bytes;
}

}  // namespace maturity
