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

/// Fruit a check is drawn from.
struct CheckedLot {
  /// Fruit in the load; empty: very many.
  std::optional<int> fruit = std::nullopt;
  /// Variance of bins over that of independent fruit, >= 1; above 1 the load is taken as very large
  /// and counts are divided by it.
  double design_effect = 1.0;
};

/// The two shares as this load can have them: in a load of whole fruit the acceptable one is
/// rounded down and the refused one up. Unchanged without a known lot or with a design effect.
LoadRule in_whole_fruit(const LoadRule& rule, const CheckedLot& lot);

/// Chance that a check of n fruit that allows `accept` bad ones passes a load with this share,
/// 0..1; with a design effect by the beta form of the binomial tail. accept < 0 never passes.
/// Throws std::invalid_argument for a share outside 0..1 or a design effect below 1.
double chance_to_pass(int n, int accept, double share, const CheckedLot& lot = {});

/// Chance to find `found` bad ones or more; the same arguments.
double chance_of_as_many(int n, int found, double share, const CheckedLot& lot = {});

/// The smallest check of more than `above` fruit that keeps both risks and leaves nothing open:
/// with up to `accept` bad ones the load is shown to be better than the refused share, with one
/// more worse than the acceptable one. Exact: binomial, or hypergeometric for a known lot. Empty:
/// more than kLargestCheck or the lot. Throws std::invalid_argument (check_rule; lot below 1).
std::optional<LoadPlan> smallest_plan(const LoadRule& rule, const CheckedLot& lot = {},
                                      int above = 0);

/// Share of bad fruit at which a check of n fruit that allows `accept` passes with this chance;
/// very large load. 0 <= accept < n, chance within (0,1). From the beta form of the binomial tail
/// (Clopper and Pearson 1934, from memory). Throws std::invalid_argument.
double share_passed_with(int n, int accept, double chance, double design_effect = 1.0);

}  // namespace maturity
