#pragma once

#include <Eigen/Core>
#include <optional>
#include <string_view>
#include <vector>

namespace maturity {

/// Why there is no date.
enum class NoDate {
  /// One day of visits and no gain given by the user: nothing to draw a line through.
  one_visit,
  /// Dry matter does not seem to rise.
  not_rising,
  /// Not reached within the horizon.
  beyond_horizon
};
std::string_view name(NoDate reason);
std::string_view sentence(NoDate reason);

/// Expected value with its standard deviation, %.
struct LevelOnDay {
  double mean = 0.0;
  double sd = 0.0;
};

/// A straight line through the visits of a block, with its uncertainty.
struct GainForecast {
  /// At the last visit: what the rule looks at (psi or mean), %, and its gain, % per week. Empty
  /// gain: one visit and none given.
  double level = 0.0;
  double level_sd = 0.0;
  std::optional<double> gain_per_week;
  std::optional<double> gain_sd;
  double minimum_dm_pct = 0.0;
  double confidence = 0.9;
  double last_day = 0.0;
  int horizon_days = 0;
  /// First whole day, from the last visit on, when the chance reaches the confidence.
  std::optional<int> earliest_day;
  std::optional<NoDate> no_date;
  /// Covariance of (level, gain).
  Eigen::Matrix2d covariance = Eigen::Matrix2d::Zero();

  /// Chance that the minimum is reached on a day; empty without a gain. Days more than 21 after the
  /// last visit are guesses: growth slows, and stated chances came out too high there.
  std::optional<double> probability(double day) const;

  /// What the rule looks at on a day, %; empty without a gain.
  std::optional<LevelOnDay> level_on(double day) const;
};

/// A gain that the user states from own earlier seasons, % per week.
struct StatedGain {
  double mean = 0.0;
  double sd = 0.0;
};

struct ForecastOptions {
  double confidence = 0.9;
  /// SD of the part of each value's error that visits share because the same trees were sampled,
  /// %; 0 for new trees each time. At most the smallest psi_sd.
  double shared_sd = 0.0;
  /// Needed for a forecast from one visit; else it replaces the wide prior.
  std::optional<StatedGain> stated_gain;
  int horizon_days = 21;
};

/// Fits psi(w) = level + gain * w, w in weeks from the last visit, to visits `day`, `psi` (%) with
/// `psi_sd` (all of one length >= 1, any order; visits of one day are pooled). Bayesian straight
/// line: level ~ N(16, 20^2), gain ~ N(0.8, 0.6^2) % per week (a weak planning guess; published
/// gains run from about 0.5 to 2.4, computed from Amaral et al. 2023, Horticulturae 9:489), 0.15 %
/// of day-to-day noise per visit, and 0.2 % per week of change of the gain after the last visit.
/// Throws std::invalid_argument naming argument, value and rule for lengths that differ, numbers
/// that are not finite, psi_sd <= 0, shared_sd < 0 or above a psi_sd, confidence outside
/// (0.5, 0.999), minimum outside 3..40.
GainForecast forecast_readiness(const std::vector<double>& day, const std::vector<double>& psi,
                                const std::vector<double>& psi_sd, double minimum_dm_pct,
                                const ForecastOptions& options = {});

}  // namespace maturity
