#pragma once

#include <optional>

namespace maturity {

/// What a check of a load has to tell apart. Both shares are the user's own.
struct LoadRule {
  /// Share of bad fruit of a load that should pass, 0..1.
  double acceptable = 0.0;
  /// Share of a load that should not pass; above `acceptable`.
  double refused = 0.0;
  /// Highest chance of not passing an acceptable load. 5 and 10 in 100 are common practice, no
  /// source.
  double producer_risk = 0.05;
  /// Highest chance of passing a load to be refused.
  double consumer_risk = 0.10;
};

/// Throws std::invalid_argument naming the field: 0 <= acceptable < refused < 1, risks within
/// 0..0.5.
void check_rule(const LoadRule& rule);

/// A check of n fruit that passes a load with up to `accept` bad ones.
struct LoadPlan {
  int n = 0;
  int accept = 0;
  /// Chance to pass at the two shares of the rule.
  double passes_acceptable = 0.0;
  double passes_refused = 0.0;
};

/// More fruit than this is no check but a second job.
inline constexpr int kLargestCheck = 2000;

/// The smallest check that keeps both risks, exact: binomial, or hypergeometric for a load of `lot`
/// fruit (bad fruit at the two shares rounded down and up, towards more fruit). Empty: more than
/// kLargestCheck. Throws std::invalid_argument (check_rule; lot below 1).
std::optional<LoadPlan> smallest_plan(const LoadRule& rule, std::optional<int> lot = std::nullopt);

/// Share of bad fruit at which a check of n fruit that allows `accept` passes with this chance;
/// very large load. 0 <= accept < n, chance within (0,1). From the beta form of the binomial tail
/// (Clopper and Pearson 1934, from memory). Throws std::invalid_argument.
double share_passed_with(int n, int accept, double chance);

}  // namespace maturity
