#pragma once

#include <optional>
#include <vector>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// One timing (or stem length) of one fruit or tray: when, in days from any start, and how much.
struct Timing {
  double day = 0.0;
  /// s, or mm of stem.
  double value = 0.0;
};

/// Limits that the user sets; nothing is built in. An empty end is no limit.
struct TimingLimits {
  std::optional<double> low;
  std::optional<double> high;
};

struct TrendOptions {
  double level = 0.95;
  /// `rising` and `falling` are judged so that of so many trends together one in twenty cries wolf
  /// (Bonferroni, at level 0.95).
  int comparisons = 1;
};

struct TimingSummary {
  int count = 0;
  /// Days with any timing.
  int days = 0;
  double median = 0.0;
  double longest = 0.0;
  double shortest = 0.0;
  /// Below the lower or above the upper limit; empty without a limit.
  std::optional<int> outside;
  std::optional<double> share_outside;
  /// Wilson, every timing taken by itself: too short where those of a day or tray are alike.
  std::optional<Bounds> share_interval;
  /// Change a day, median of the slopes between any two days (Theil and Sen) of the days' medians,
  /// with Sen's interval. A day is one value however many fruit were timed, since fruit of a day
  /// share its people, its heat and its distance to the wash. Empty with fewer than 5 days: any
  /// order of four is likely enough by luck.
  std::optional<double> slope_per_day;
  std::optional<Bounds> slope_interval;
  /// Rising: the stricter interval lies above 0; falling: below; neither: no trend beyond chance.
  std::optional<bool> rising;
  std::optional<bool> falling;
};

/// What a log of timings says. Slope and interval: Sen 1968, J. Am. Stat. Assoc. 63:1379, with the
/// correction for ties (from memory). Throws std::invalid_argument for no timing, a value that is
/// not finite or below 0, a lower limit above the upper, a level outside 0..1, comparisons below 1.
TimingSummary summarise_timings(const std::vector<Timing>& timings, const TimingLimits& limits,
                                const TrendOptions& options = {});

}  // namespace maturity
