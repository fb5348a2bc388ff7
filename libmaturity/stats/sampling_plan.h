#pragma once

#include <optional>

namespace maturity {

/// A single check: so many fruit, so many bad ones allowed.
struct SamplingPlan {
  char letter = 'A';
  int n = 0;
  int accept = 0;
  /// The table sends this letter to another row; letter, n and accept are of that row.
  bool followed_arrow = false;
};

/// Code letter for a lot of 2..35000 fruit at general inspection level 1, 2 or 3 (READ: the common
/// table of MIL-STD-105E, ANSI/ASQ Z1.4 and ISO 2859-1). Throws std::invalid_argument outside.
char code_letter(int lot, int level = 2);

/// Sample size of a code letter, A..N. Throws std::invalid_argument for another letter.
int code_letter_sample_size(char letter);

/// Normal single plan for an acceptable quality level of 1.5, 2.5, 4.0, 6.5 or 10 bad in 100,
/// letters D..L (READ: MIL-STD-105E table II-A and its arrows, as copied by nibs.org, AC-TABLE).
/// Empty where the table read does not reach: letters A to C, M, N, and an arrow that leaves D..L.
std::optional<SamplingPlan> single_plan(char letter, double acceptable_pct);

}  // namespace maturity
