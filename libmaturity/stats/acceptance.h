#pragma once

#include <optional>

namespace maturity {

/// Chance that a load with this share of bad fruit passes a check of n fruit that allows `accept`
/// bad ones. Without a lot: fruit from a very large load (binomial). With one: n drawn from `lot`
/// fruit of which share * lot, rounded to the nearest whole fruit, are bad (hypergeometric).
/// n >= 1, 0 <= accept <= n, share within 0..1, lot >= n. Fruit are taken to be drawn at random;
/// from the top of one bin they are not. Throws std::invalid_argument.
double acceptance_probability(int n, int accept, double share,
                              std::optional<int> lot = std::nullopt);

/// Two-step check: accept at once up to `accept_first` bad ones in `first`, refuse at once from
/// `reject_first`, else draw `second` more and accept up to `accept_total` bad ones in both.
struct DoublePlan {
  int first = 0;
  int accept_first = 0;
  int reject_first = 0;
  int second = 0;
  int accept_total = 0;
};

struct DoubleOutcome {
  double acceptance = 0.0;
  /// Fruit checked on average, the second step always finished.
  double expected_fruit = 0.0;
};

/// Chance to pass, and average number checked, of a two-step check; very large load.
DoubleOutcome double_acceptance(const DoublePlan& plan, double share);

}  // namespace maturity
