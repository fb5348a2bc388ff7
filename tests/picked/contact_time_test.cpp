#include "libmaturity/picked/contact_time.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

std::vector<Timing> every_day(const std::vector<double>& values) {
  std::vector<Timing> timings;
  for (std::size_t i = 0; i < values.size(); ++i) {
    timings.push_back({static_cast<double>(i), values[i]});
  }
  return timings;
}

TEST(SummariseTimings, OutsideLongestMedianByHand) {
  const TimingSummary summary =
      summarise_timings(every_day({4.0, 5.0, 6.0, 30.0}), {std::nullopt, 5.0});
  EXPECT_EQ(summary.outside.value(), 2);
  EXPECT_NEAR(summary.share_outside.value(), 0.5, 1e-12);
  EXPECT_EQ(summary.longest, 30.0);
  EXPECT_EQ(summary.shortest, 4.0);
  EXPECT_NEAR(summary.median, 5.5, 1e-12);
  EXPECT_FALSE(summary.slope_per_day.has_value());
}

TEST(SummariseTimings, StemsHaveTwoLimits) {
  const TimingSummary stems =
      summarise_timings(every_day({99.0, 100.0, 200.0, 201.0}), {100.0, 200.0});
  EXPECT_EQ(stems.outside.value(), 2);
}

TEST(SummariseTimings, WithoutALimitNothingIsOutside) {
  const TimingSummary summary = summarise_timings(every_day({4.0, 500.0}), {});
  EXPECT_FALSE(summary.outside.has_value());
  EXPECT_FALSE(summary.share_interval.has_value());
}

TEST(SummariseTimings, ATrendIsSeenPastAWildValue) {
  std::vector<double> values(12);
  for (std::size_t i = 0; i < values.size(); ++i) {
    values[i] = 5.0 + 0.5 * static_cast<double>(i) + (i % 2 == 0 ? 0.1 : -0.1);
  }
  values[3] = 400.0;
  const TimingSummary up = summarise_timings(every_day(values), {});
  EXPECT_NEAR(up.slope_per_day.value(), 0.5, 0.05);
  EXPECT_TRUE(up.rising.value());
  EXPECT_FALSE(up.falling.value());
  const TimingSummary flat = summarise_timings(every_day({5, 7, 5, 6, 7, 5, 6}), {});
  EXPECT_FALSE(flat.rising.value());
  EXPECT_FALSE(flat.falling.value());
}

TEST(SummariseTimings, FourDaysAreNoTrend) {
  EXPECT_FALSE(summarise_timings(every_day({4, 5, 6, 7}), {}).rising.has_value());
  EXPECT_TRUE(summarise_timings(every_day({4, 5, 6, 7, 8}), {}).rising.value());
  // All five in order comes by luck on 2 of 120 logs: too often where 9 trends are looked at.
  TrendOptions many;
  many.comparisons = 9;
  EXPECT_FALSE(summarise_timings(every_day({4, 5, 6, 7, 8}), {}, many).rising.value());
  EXPECT_TRUE(summarise_timings(every_day({4, 5, 6, 7, 8, 9}), {}, many).rising.value());
}

/// Share of logs without a trend that are called rising or falling: days differ by luck, and the
/// fruit of a day are alike.
double false_trends(int fruit, bool days_merged, int runs) {
  RandomStream stream(41);
  int called = 0;
  for (int run = 0; run < runs; ++run) {
    std::vector<Timing> timings;
    for (int day = 0; day < 7; ++day) {
      const double level = 5.0 + 2.0 * stream.uniform();
      for (int i = 0; i < fruit; ++i) {
        // Wrong on purpose: every fruit as if it were a day of its own.
        const double when = days_merged ? day : day + static_cast<double>(i) / fruit;
        timings.push_back({when * (days_merged ? 1.0 : fruit), level + stream.uniform()});
      }
    }
    const TimingSummary summary = summarise_timings(timings, {});
    called += summary.rising.value() || summary.falling.value() ? 1 : 0;
  }
  return static_cast<double>(called) / runs;
}

TEST(SummariseTimings, DaysThatDifferByLuckAreNoTrend) {
  EXPECT_LE(false_trends(8, true, 1000), 0.05 + 2.0 * 0.0069);
  EXPECT_GT(false_trends(8, false, 1000), 0.3);
}

TEST(SummariseTimings, BadInputIsNamed) {
  EXPECT_THAT([] { summarise_timings({}, {}); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("timings: none")));
  EXPECT_THAT(
      [] {
        summarise_timings({{0.0, 1.0}}, {}, {0.95, 0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("comparisons: 0")));
  EXPECT_THAT(
      [] {
        summarise_timings({{0.0, -1.0}}, {});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("value: -1")));
  EXPECT_THAT(
      [] {
        summarise_timings({{0.0, 1.0}}, {200.0, 100.0});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("low: 200")));
}

}  // namespace
}  // namespace maturity
