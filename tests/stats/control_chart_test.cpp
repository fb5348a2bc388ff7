#include "libmaturity/stats/control_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// 0.2378, 0.0822 and 0.1565 READ in a printed textbook example; digits COMPUTED by two routes.
TEST(PChart, LimitsMatchPrintedExamples) {
  const Bounds limits = p_chart_limits(0.16, 200);
  EXPECT_NEAR(limits.high, 0.2378, 1e-4);
  EXPECT_NEAR(limits.low, 0.0822, 1e-4);
  EXPECT_NEAR(limits.high, 0.237768888, 1e-8);
  EXPECT_NEAR(p_chart_limits(0.0945, 200).high, 0.156553515, 1e-8);
  EXPECT_EQ(p_chart_limits(0.01, 20).low, 0.0);
}

// NIST/SEMATECH e-Handbook 6.3.3.2: counts from memory (their sum gives the READ share 0.2313).
TEST(PChart, HandbookWafers) {
  const std::vector<double> counts{12, 15, 8, 10, 4,  7,  16, 9,  14, 10, 5,  6, 17, 12, 22,
                                   8,  10, 5, 13, 11, 20, 18, 24, 15, 9,  12, 7, 13, 9,  6};
  const PChart chart = p_chart(counts, std::vector<double>(30, 50.0));
  EXPECT_NEAR(chart.centre, 347.0 / 1500.0, 1e-15);
  EXPECT_NEAR(chart.points[0].limits.high, 0.410239119, 1e-8);
  EXPECT_NEAR(chart.points[0].limits.low, 0.0524275481, 1e-8);
  int outside = 0;
  for (const ChartPoint& point : chart.points) {
    outside += point.above || point.below ? 1 : 0;
  }
  EXPECT_EQ(outside, 2);  // 22/50 = 0.44 and 24/50 = 0.48 are above
  EXPECT_TRUE(chart.points[14].above);
  EXPECT_TRUE(chart.points[22].above);
}

TEST(PChart, SmallerSamplesGetWiderLimits) {
  const PChart chart = p_chart({10.0, 2.0}, {100.0, 20.0});
  EXPECT_LT(chart.points[0].limits.high, chart.points[1].limits.high);
  EXPECT_NEAR(p_chart_limits(0.1, 100, 4.0).high, p_chart_limits(0.1, 25).high, 1e-12);
}

// In-control days: a point leaves the limits about three times in a thousand for large samples.
TEST(PChart, FalseAlarmsAreRareWhenNothingChanges) {
  RandomStream stream(3);
  int outside = 0;
  constexpr int kDays = 4000;
  for (int day = 0; day < kDays; ++day) {
    int count = 0;
    for (int i = 0; i < 400; ++i) {
      count += stream.uniform() < 0.2 ? 1 : 0;
    }
    const Bounds limits = p_chart_limits(0.2, 400);
    outside += count / 400.0 > limits.high || count / 400.0 < limits.low ? 1 : 0;
  }
  EXPECT_NEAR(static_cast<double>(outside) / kDays, 0.0027, 0.0025);
}

TEST(PChart, BadInputIsNamed) {
  EXPECT_THAT([] { p_chart({1.0}, {0.0}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("checked, sample 1: 0")));
  EXPECT_THAT(
      [] {
        p_chart({1.0, 6.0}, {5.0, 5.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("count, sample 2: 6")));
  EXPECT_THAT([] { p_chart_limits(16.0, 200); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("share: 16")));
  EXPECT_THAT([] { p_chart_limits(0.16, 200, 0.5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("design_effect: 0.5")));
}

}  // namespace
}  // namespace maturity
