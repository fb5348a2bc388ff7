#include "libmaturity/drymatter/oven_error.h"

#include <cmath>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {
constexpr double kUniformVariance = 12.0;
}  // namespace

double oven_error_sd_pct(double balance_step_g, double fresh_g, double repeat_sd_pct) {
  if (!(balance_step_g > 0.0) || !std::isfinite(balance_step_g)) {
    reject_argument("balance_step_g", balance_step_g, "a step above 0 g");
  }
  if (!(fresh_g > 0.0) || !std::isfinite(fresh_g)) {
    reject_argument("fresh_g", fresh_g, "a sample above 0 g");
  }
  if (!(repeat_sd_pct >= 0.0) || !std::isfinite(repeat_sd_pct)) {
    reject_argument("repeat_sd_pct", repeat_sd_pct, "at least 0 %");
  }
  const double weighing =
      std::sqrt(2.0) * 100.0 * (balance_step_g / std::sqrt(kUniformVariance)) / fresh_g;
  return std::hypot(repeat_sd_pct, weighing);
}

}  // namespace maturity
