#pragma once

#include <optional>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// Fruit with a finding among those looked at; weighted counts need not be whole.
struct LookCount {
  double found = 0.0;
  double checked = 0.0;
};

/// The share after holding less the share on arrival, of fruit drawn apart.
struct LateDamage {
  double difference = 0.0;
  Bounds interval;
  /// More after holding than on arrival; false: no more than chance; empty: too few fruit.
  std::optional<bool> rose;
};

struct LateOptions {
  double level = 0.95;
  /// `rose` is judged so that of so many comparisons together one in twenty cries wolf (Bonferroni,
  /// at level 0.95).
  int comparisons = 1;
  double design_effect = 1.0;
  /// Fewer fruit than this in either look cannot tell.
  int fewest_fruit = 20;
};

/// Interval of the difference of two independent shares from their Wilson intervals (Newcombe 1998,
/// Stat. Med. 17:873, method 10, from memory). Throws std::invalid_argument naming the field.
LateDamage compare_looks(const LookCount& arrival, const LookCount& held,
                         const LateOptions& options = {});

}  // namespace maturity
