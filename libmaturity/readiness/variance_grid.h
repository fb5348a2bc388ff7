#pragma once

#include <vector>

namespace maturity {

/// One point of the grid over the standard deviations of the model.
struct VariancePoint {
  /// SD of dry matter at given shape, tree and fruit together, %.
  double sigma = 0.0;
  int sigma_index = 0;
  /// Share of sigma^2 that lies between trees.
  double tree_share = 0.0;
  /// Meter error SD after its bias, %; NaN without meter readings.
  double meter_sd = 0.0;
  /// How many SD of its logarithm that lies above the guess: other meters go with it.
  double meter_step = 0.0;
  double log_prior = 0.0;

  double tree_variance() const { return tree_share * sigma * sigma; }
  double fruit_variance() const { return (1.0 - tree_share) * sigma * sigma; }
};

/// Meter error SD of a meter whose own check is not given, %: bias-corrected errors of published
/// new-season checks run from 0.77 to 1.17 (computed from RMSEP and bias printed by Walsh, Neupane
/// and Li 2024, Spectrochim. Acta A 311:124003, and others).
inline constexpr double kMeterSdGuess = 1.0;
inline constexpr double kMeterSdGuessLogSd = 0.2;

/// How far the grid of the meter's error reaches, in SD of its logarithm.
inline constexpr double kMeterReach = 2.4;

/// Number of sigma points; the first and the last are the edges of the model's range.
inline constexpr int kSigmaPoints = 33;

/// The fixed grid: sigma 0.3 to 4.8 % in equal steps of its logarithm, prior log sigma ~
/// N(log 1.3, 0.5^2); tree share 0.8 (j + 0.5)/10, prior Beta(1.5, 4); and with a meter 7 points of
/// its error SD (`meter_points`, odd, at least 3), prior log-normal about `meter_sd` with
/// `meter_log_sd`, out to kMeterReach. Planning guesses: no
/// published variance of mango dry matter within trees and blocks was found.
std::vector<VariancePoint> variance_grid(bool with_meter, double meter_sd = kMeterSdGuess,
                                         double meter_log_sd = kMeterSdGuessLogSd,
                                         int meter_points = 7);

}  // namespace maturity
