#include "libmaturity/picked/double_plan.h"

#include <algorithm>
#include <array>

#include "libmaturity/stats/sampling_plan.h"

namespace maturity {

namespace {

struct DoubleNumbers {
  /// Acceptance number of the single plan.
  int single;
  int accept_first;
  int reject_first;
  int accept_total;
};

// MIL-STD-105E table III-A, from memory; what was read of it: see the header.
constexpr std::array<DoubleNumbers, 8> kDoubleNumbers{{{1, 0, 2, 1},
                                                       {2, 0, 3, 3},
                                                       {3, 1, 4, 4},
                                                       {5, 2, 5, 6},
                                                       {7, 3, 7, 8},
                                                       {10, 5, 9, 12},
                                                       {14, 7, 11, 18},
                                                       {21, 11, 16, 26}}};

char letter_before(char letter) {
  // No letter I in the standard.
  return letter == 'J' ? 'H' : static_cast<char>(letter - 1);
}

}  // namespace

std::optional<DoublePlan> double_plan(char letter, double acceptable_pct) {
  const std::optional<SamplingPlan> single = single_plan(letter, acceptable_pct);
  if (!single) {
    return std::nullopt;
  }
  const auto* const numbers =
      std::find_if(kDoubleNumbers.begin(), kDoubleNumbers.end(),
                   [&](const DoubleNumbers& each) { return each.single == single->accept; });
  if (numbers == kDoubleNumbers.end()) {
    return std::nullopt;
  }
  const int each = code_letter_sample_size(letter_before(single->letter));
  return DoublePlan{each, numbers->accept_first, numbers->reject_first, each,
                    numbers->accept_total};
}

}  // namespace maturity
