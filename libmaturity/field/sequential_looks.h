#pragma once

#include <string_view>
#include <vector>

namespace maturity {

/// Error that may have been spent when a share `fraction` (0..1] of the planned walk has been
/// looked at: 2 (1 - Phi(z / sqrt(fraction))) with Phi(z) = 1 - error/2. Little early, all of
/// `error` at 1 (Lan and DeMets 1983, Biometrika 70:659, spending function of O'Brien-Fleming
/// type; from memory).
double spent_error(double fraction, double error);

/// How many standard deviations above the minimum a result must lie at each look, so that a block
/// exactly at the minimum is called ready with chance `error` at most over all looks together.
/// `fraction`: share of the planned trees at each look, rising, within (0, 1]. Only what was looked
/// at counts; number and times of looks need not be known before, but must not be chosen by what
/// was seen. Results of looks are taken as normal with independent increments; the integral over
/// the looks passed is done on a grid (Armitage, McPherson and Rowe 1969, JRSS A 132:235, from
/// memory), bounds good to 1e-5. No bound (infinity) where nothing may be spent. Throws
/// std::invalid_argument for fractions that do not rise within (0, 1] or error outside (0, 0.5).
std::vector<double> look_bounds(const std::vector<double>& fraction, double error);

enum class LookVerdict {
  ready,
  not_yet,
  /// Undecided, and trees of the plan are left.
  go_on,
  /// Undecided with the plan used up: this walk cannot settle it.
  undecided
};
std::string_view name(LookVerdict verdict);
std::string_view sentence(LookVerdict verdict);

/// A look at results.
struct Look {
  double fraction = 0.0;
  /// Chance (0..1) that the rule is met, which ready needs at this look; not yet needs as much
  /// against it.
  double needed = 0.0;
  /// Share of the error spent so far, 0..1 of 1 - confidence.
  double spent = 0.0;
  LookVerdict verdict = LookVerdict::go_on;
};

/// Judges a look. `readiness`: chance (0..1) that the rule is met, from all results so far;
/// `fraction`: share of the planned trees they come from; `earlier`: the fractions of the looks
/// before. With one look at the end, needed is the confidence itself. Throws std::invalid_argument
/// as look_bounds, for readiness outside 0..1 or confidence outside (0.5, 0.999).
Look judge_look(double readiness, double fraction, const std::vector<double>& earlier,
                double confidence);

}  // namespace maturity
