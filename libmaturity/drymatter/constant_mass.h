#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace maturity {

/// When drying is over: `agreeing` weighings in a row, each at least `hours_apart` after the one
/// before, that differ by at most `within_g`. Two agreeing weights are the rule of Title 3
/// California Code of Regulations s.1408.3 (READ, to 0.01 g); the gap of an hour for an air oven is
/// common practice, no source. All are settings.
struct EndRule {
  double within_g = 0.01;
  int agreeing = 2;
  double hours_apart = 1.0;
};

struct DryingWeight {
  double hours = 0.0;
  double dish_sample_g = 0.0;
};

enum class DryingState {
  finished,
  still_losing,
  /// Too few weighings, or too close together, to tell.
  cannot_tell,
  /// Heavier than before by more than the rule allows: damp taken up, or a slip.
  gained
};
std::string_view name(DryingState state);
std::string_view sentence(DryingState state);

struct DryingResult {
  DryingState state = DryingState::cannot_tell;
  /// Last weight once finished, g.
  std::optional<double> dish_dried_g;
  /// Loss from the last weighing but one, g.
  std::optional<double> last_loss_g;
};

/// Weighings in order of time (hours rising, weights > 0). Throws std::invalid_argument for these
/// and for a rule with within_g < 0, agreeing < 2 or hours_apart < 0.
DryingResult judge_drying(const std::vector<DryingWeight>& weighings, const EndRule& rule = {});

}  // namespace maturity
