#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>
#include <limits>

#include "libmaturity/pipeline/check_settings.h"

namespace maturity {
namespace {

using testing::AllOf;
using testing::HasSubstr;

std::string refusal(const std::function<void(MeasureSettings&)>& change) {
  MeasureSettings settings;
  change(settings);
  try {
    check(settings);
  } catch (const std::invalid_argument& error) {
    return error.what();
  }
  return "";
}

TEST(MeasureSettings, DefaultsAreInRange) { EXPECT_NO_THROW(check({})); }

TEST(MeasureSettings, EachIsRefusedByNameValueAndRule) {
  EXPECT_THAT(refusal([](auto& s) { s.max_megapixels = 0.0; }),
              AllOf(HasSubstr("max_megapixels is 0"), HasSubstr("between 0.01 and 2000")));
  EXPECT_THAT(refusal([](auto& s) { s.max_seconds = -1.0; }), HasSubstr("max_seconds is -1"));
  EXPECT_THAT(refusal([](auto& s) { s.marker_width_mm = -40.0; }),
              HasSubstr("marker_width_mm is -40"));
  EXPECT_THAT(refusal([](auto& s) { s.markers_across_mm = 4.0; }), HasSubstr("markers_across_mm"));
  EXPECT_THAT(refusal([](auto& s) { s.markers_down_mm = 1e9; }), HasSubstr("markers_down_mm"));
  EXPECT_THAT(refusal([](auto& s) { s.thickness_ratio = 82.0; }),
              AllOf(HasSubstr("thickness_ratio is 82"), HasSubstr("1.3")));
  EXPECT_THAT(refusal([](auto& s) { s.thickness_ratio_sd = -0.1; }),
              HasSubstr("thickness_ratio_sd"));
  EXPECT_THAT(refusal([](auto& s) { s.flank_exponent = 1.0; }), HasSubstr("flank_exponent"));
  EXPECT_THAT(refusal([](auto& s) { s.threads = -1; }), HasSubstr("threads is -1"));
  EXPECT_THAT(refusal([](auto& s) { s.thickness_mm[3] = 6.0; }), HasSubstr("thickness_mm is 6"));
  EXPECT_THAT(refusal([](auto& s) { s.thickness_mm[0] = 60.0; }), HasSubstr("fruit number is 0"));
  EXPECT_THAT(
      refusal([](auto& s) { s.thickness_ratio = std::numeric_limits<double>::quiet_NaN(); }),
      HasSubstr("thickness_ratio is"));
}

TEST(MeasureSettings, EveryWayOfMeasuringRefusesThem) {
  MeasureSettings settings;
  settings.threads = -1;
  EXPECT_THROW(measure_photo("none.jpg", settings), std::invalid_argument);
  EXPECT_THROW(measure_photo_bytes({}, "none.jpg", settings), std::invalid_argument);
  EXPECT_THROW(measure_photos({}, settings), std::invalid_argument);
}

TEST(MeasureSettings, TheKeyChangesWithWhatChangesTheNumbersAndWithNothingElse) {
  const std::string plain = settings_key({});
  const auto key = [](const std::function<void(MeasureSettings&)>& change) {
    MeasureSettings settings;
    change(settings);
    return settings_key(settings);
  };
  EXPECT_NE(key([](auto& s) { s.marker_width_mm = 40.0000001; }), plain);
  EXPECT_NE(key([](auto& s) { s.markers_across_mm = 401.0; }), plain);
  EXPECT_NE(key([](auto& s) { s.markers_down_mm = 301.0; }), plain);
  EXPECT_NE(key([](auto& s) { s.thickness_ratio = 0.83; }), plain);
  EXPECT_NE(key([](auto& s) { s.thickness_ratio_sd = 0.05; }), plain);
  EXPECT_NE(key([](auto& s) { s.flank_exponent = 2.1; }), plain);
  EXPECT_NE(key([](auto& s) { s.thickness_mm[2] = 70.0; }),
            key([](auto& s) { s.thickness_mm[1] = 70.0; }));
  EXPECT_EQ(key([](auto& s) { s.threads = 3; }), plain);
  EXPECT_EQ(key([](auto& s) { s.max_megapixels = 10.0; }), plain) << "not of the numbers";
  EXPECT_EQ(key([](auto& s) { s.max_seconds = 3.0; }), plain);
}

}  // namespace
}  // namespace maturity
