// Any bytes as an EXIF block: facts in their ranges, or none; never an exception.
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>

#include "libmaturity/photo/camera_facts.h"
#include "tests/fuzz/require.h"

// NOLINTNEXTLINE(readability-identifier-naming): the name that libFuzzer calls
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using maturity::fuzz::require;
  const maturity::CameraFacts facts = maturity::read_exif(std::span(data, size));
  require(facts.orientation >= 1 && facts.orientation <= 8, "orientation 1 to 8");
  if (facts.focal_35mm) {
    require(*facts.focal_35mm >= 8.0 && *facts.focal_35mm <= 400.0, "focal length 8 to 400 mm");
  }
  if (facts.taken_at) {
    const std::string& time = *facts.taken_at;
    require(time.size() == 19 && time[4] == '-' && time[7] == '-' && time[10] == 'T',
            "time as YYYY-MM-DDTHH:MM:SS");
    require(time.find_first_not_of("0123456789-T:") == std::string::npos, "time of digits");
  }
  return 0;
}
