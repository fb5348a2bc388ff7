#include "libmaturity/readiness/variance_grid.h"

#include <cmath>
#include <limits>

namespace maturity {

namespace {

constexpr double kSigmaLow = 0.3;
constexpr double kSigmaHigh = 4.8;
constexpr double kSigmaGuess = 1.3;
constexpr double kSigmaGuessLogSd = 0.5;
constexpr int kTreeSharePoints = 10;
constexpr double kTreeShareHigh = 0.8;
// Beta(1.5, 4): exponents less one.
constexpr double kTreeShareA = 0.5;
constexpr double kTreeShareB = 3.0;

double half_square(double v) { return 0.5 * v * v; }

}  // namespace

std::vector<VariancePoint> variance_grid(bool with_meter, double meter_sd, double meter_log_sd,
                                         int meter_points) {
  std::vector<VariancePoint> points;
  const int side = (meter_points - 1) / 2;
  const double step = std::log(kSigmaHigh / kSigmaLow) / (kSigmaPoints - 1);
  for (int i = 0; i < kSigmaPoints; ++i) {
    VariancePoint point;
    point.sigma_index = i;
    const double log_sigma = std::log(kSigmaLow) + step * i;
    point.sigma = std::exp(log_sigma);
    const double sigma_prior = -half_square((log_sigma - std::log(kSigmaGuess)) / kSigmaGuessLogSd);
    for (int j = 0; j < kTreeSharePoints; ++j) {
      point.tree_share = kTreeShareHigh * (j + 0.5) / kTreeSharePoints;
      const double share_prior =
          kTreeShareA * std::log(point.tree_share) + kTreeShareB * std::log(1.0 - point.tree_share);
      if (!with_meter) {
        point.meter_sd = std::numeric_limits<double>::quiet_NaN();
        point.log_prior = sigma_prior + share_prior;
        points.push_back(point);
        continue;
      }
      for (int u = -side; u <= side; ++u) {
        const double v = kMeterReach * u / side;
        point.meter_step = v;
        point.meter_sd = meter_sd * std::exp(meter_log_sd * v);
        point.log_prior = sigma_prior + share_prior - half_square(v);
        points.push_back(point);
      }
    }
  }
  return points;
}

}  // namespace maturity
