#include "libmaturity/pipeline/check_settings.h"

#include <cmath>
#include <sstream>
#include <stdexcept>

#include "libmaturity/core/version.h"

namespace maturity {

namespace {

void require(const char* name, double value, double low, double high) {
  if (!(value >= low && value <= high)) {
    std::ostringstream text;
    text << name << " is " << value << "; it must be between " << low << " and " << high;
    throw std::invalid_argument(text.str());
  }
}

}  // namespace

void check(const MeasureSettings& s) {
  require("max_megapixels", s.max_megapixels, 0.01, 2000.0);
  require("max_seconds", s.max_seconds, 0.0, 86400.0);
  require("marker_width_mm", s.marker_width_mm, 5.0, 200.0);
  require("markers_across_mm", s.markers_across_mm, 50.0, 3000.0);
  require("markers_down_mm", s.markers_down_mm, 50.0, 3000.0);
  require("thickness_ratio", s.thickness_ratio, 0.4, 1.3);
  require("thickness_ratio_sd", s.thickness_ratio_sd, 0.0, 0.3);
  require("flank_exponent", s.flank_exponent, 1.5, 4.0);
  require("threads", s.threads, 0, 1024);
  for (const auto& [fruit, mm] : s.thickness_mm) {
    require("thickness_mm", mm, 10.0, 250.0);
    require("thickness_mm: fruit number", fruit, 1, 1000);
  }
}

std::string settings_key(const MeasureSettings& s) {
  std::ostringstream text;
  text.precision(17);
  text << "method=" << method_version() << ";marker=" << s.marker_width_mm
       << ";across=" << s.markers_across_mm << ";down=" << s.markers_down_mm
       << ";thickness=" << s.thickness_ratio << '/' << s.thickness_ratio_sd
       << ";flank=" << s.flank_exponent;
  for (const auto& [fruit, mm] : s.thickness_mm) {
    text << ";fruit" << fruit << '=' << mm;
  }
  return text.str();
}

}  // namespace maturity
