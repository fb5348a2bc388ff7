#include "libmaturity/picked/outlying_bins.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

#include "libmaturity/stats/random_stream.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

std::vector<BinCheck> day_of(const std::vector<int>& found, int checked = 50) {
  std::vector<BinCheck> checks;
  for (std::size_t i = 0; i < found.size(); ++i) {
    checks.push_back(
        {"Weir", "pole", "d", i % 2 == 0 ? "A" : "B", std::to_string(i), checked, found[i]});
  }
  return checks;
}

TEST(OutlyingBins, FishersTailByHand) {
  // 3 of 4 against 0 of 4: 3 drawn of 8 all fall into the first four, 4 / 56; two bins.
  const std::vector<BinOutcome> bins = outlying_bins(day_of({3, 0}, 4));
  EXPECT_NEAR(bins[0].p_value.value(), 2.0 * 4.0 / 56.0, 1e-12);
  EXPECT_EQ(bins[1].p_value.value(), 1.0);
  EXPECT_NEAR(bins[0].others_share.value(), 0.0, 1e-12);
  EXPECT_NEAR(bins[1].others_share.value(), 0.75, 1e-12);
  EXPECT_FALSE(bins[0].stands_out.value());
}

TEST(OutlyingBins, OneBadBinStandsOutAndGoodOnesDoNot) {
  const std::vector<BinOutcome> bins = outlying_bins(day_of({2, 3, 20, 1, 2, 0}));
  for (std::size_t i = 0; i < bins.size(); ++i) {
    EXPECT_EQ(bins[i].stands_out.value(), i == 2) << i;
  }
  EXPECT_NEAR(bins[2].share, 0.4, 1e-12);
  EXPECT_GT(bins[2].interval.low, 0.2);
}

TEST(OutlyingBins, ABinAloneIsNotCompared) {
  std::vector<BinCheck> checks = day_of({20});
  checks.push_back({"Quarry", "pole", "d", "A", "9", 50, 0});
  for (const BinOutcome& one : outlying_bins(checks)) {
    EXPECT_FALSE(one.stands_out.has_value());
    EXPECT_FALSE(one.p_value.has_value());
  }
}

/// Share of days of 24 bins on which some bin stands out though all are alike.
double bin_alarms(double false_alarm, int runs) {
  RandomStream stream(31);
  int alarmed = 0;
  for (int run = 0; run < runs; ++run) {
    std::vector<int> found(24, 0);
    for (int& count : found) {
      for (int i = 0; i < 50; ++i) {
        count += stream.uniform() < 0.1 ? 1 : 0;
      }
    }
    bool any = false;
    for (const BinOutcome& one : outlying_bins(day_of(found), 0.95, false_alarm)) {
      any = any || one.stands_out.value();
    }
    alarmed += any ? 1 : 0;
  }
  return static_cast<double>(alarmed) / runs;
}

TEST(OutlyingBins, AtMostOneDayInTwentyCriesWolf) {
  constexpr int kRuns = 1000;
  EXPECT_LE(bin_alarms(0.05, kRuns), 0.05 + 2.0 * std::sqrt(0.05 * 0.95 / kRuns));
  // Wrong on purpose: each of the 24 bins judged as if it were the only one.
  EXPECT_GT(bin_alarms(0.999, kRuns), 0.3);
}

TEST(OutlyingBins, BadInputIsNamed) {
  EXPECT_THAT([] { outlying_bins(day_of({51})); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("found, row 1: 51")));
  EXPECT_THAT([] { outlying_bins(day_of({1}), 1.5); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("level, false_alarm: 1.5")));
}

}  // namespace
}  // namespace maturity
