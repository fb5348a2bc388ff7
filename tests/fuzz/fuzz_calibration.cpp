// Any bytes as a saved calibration: one that survives another round trip, or invalid_argument.
#include <cstddef>
#include <cstdint>
#include <regex>
#include <stdexcept>
#include <string>
#include <string_view>

#include "libmaturity/calibration/calibration_json.h"
#include "tests/fuzz/require.h"

namespace {

void read(const std::string& text) {
  using maturity::fuzz::require;
  const maturity::ShapeCalibration one = maturity::calibration_from_json(text);
  const std::string saved = maturity::calibration_to_json(one);
  require(maturity::calibration_to_json(maturity::calibration_from_json(saved)) == saved,
          "a calibration that was read can be saved and read again");
}

}  // namespace

// NOLINTNEXTLINE(readability-identifier-naming): the name that libFuzzer calls
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);  // NOLINT: bytes
  try {
    read(text);
  } catch (const std::invalid_argument& error) {
    // Chance does not hit the checksum: put in the one that is asked for, and go behind it.
    static const std::regex kHash("calibration field id.* ([0-9a-f]{16}), that of its content");
    static const std::regex kId("\"id\"\\s*:\\s*\"[^\"]*\"");
    std::cmatch found;
    if (std::regex_search(error.what(), found, kHash) && size < 20000) {
      try {
        read(std::regex_replace(text, kId, "\"id\": \"" + found[1].str() + "\""));
      } catch (const std::invalid_argument&) {
        return 0;
      }
    }
  }
  return 0;
}
