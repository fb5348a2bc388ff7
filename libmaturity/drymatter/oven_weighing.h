#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace maturity {

/// Dry matter, % of fresh weight: 100 (dried - dish)/(fresh - dish), all three weighed with the
/// dish (Title 3 California Code of Regulations s.1408.3, avocado, READ). Grams. Throws
/// std::invalid_argument naming the weight, its value and the rule for a dish <= 0, fresh <= dish,
/// dried < dish, dried > fresh or numbers that are not finite.
double dry_matter_pct(double dish_g, double dish_fresh_g, double dish_dried_g);

/// Why weighings give no dry matter.
enum class WeighingProblem {
  not_a_weight,
  fresh_not_above_dish,
  dried_below_dish,
  dried_above_fresh,
  /// Possible arithmetic, but no fruit has it: outside 3 to 40 %.
  not_a_fruit
};
std::string_view name(WeighingProblem problem);

/// The three weighings of one sample, dish included, g. An empty dried weight: still drying.
struct OvenWeighing {
  double dish_g = 0.0;
  double dish_fresh_g = 0.0;
  std::optional<double> dish_dried_g;
  /// Smallest step of the balance, g; empty: not known, taken as fine.
  std::optional<double> balance_step_g;
};

enum class OvenState { dry, still_drying, impossible };
std::string_view name(OvenState state);

struct OvenReading {
  OvenState state = OvenState::impossible;
  /// % of fresh weight, and the standard deviation of its error; empty unless dry.
  std::optional<double> dm_pct;
  std::optional<double> error_sd_pct;
  std::optional<WeighingProblem> problem;
  /// What is wrong, with the weights; empty when nothing is.
  std::string sentence;
};

/// Reads one sample without throwing on weights: a batch goes on. Throws only for a balance step
/// that is not above 0.
OvenReading read_oven(const OvenWeighing& weighing, double repeat_sd_pct = 0.15);

}  // namespace maturity
