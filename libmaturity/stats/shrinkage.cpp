#include "libmaturity/stats/shrinkage.h"

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check(const std::vector<double>& values, const std::vector<double>& error_variances,
           const std::optional<double>& between_variance) {
  if (values.size() < 2) {
    reject_argument("values", values.size(), "at least 2 units to draw together");
  }
  if (values.size() != error_variances.size()) {
    reject_argument("error_variances", error_variances.size(), "one per value");
  }
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) {
      reject_argument("values", values[i], "finite values");
    }
    if (!(error_variances[i] > 0.0) || !std::isfinite(error_variances[i])) {
      reject_argument("error_variances", error_variances[i], "variances above 0");
    }
  }
  if (between_variance && !(*between_variance >= 0.0 && std::isfinite(*between_variance))) {
    reject_argument("between_variance", *between_variance, "a variance, at least 0");
  }
}

double common_value(const std::vector<double>& values, const std::vector<double>& psi, double a) {
  double weight = 0.0;
  double sum = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    weight += 1.0 / (a + psi[i]);
    sum += values[i] / (a + psi[i]);
  }
  return sum / weight;
}

double weighted_spread(const std::vector<double>& values, const std::vector<double>& psi,
                       double a) {
  const double mu = common_value(values, psi, a);
  double sum = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    sum += (values[i] - mu) * (values[i] - mu) / (a + psi[i]);
  }
  return sum;
}

double estimate_spread(const std::vector<double>& values, const std::vector<double>& psi) {
  const double target = static_cast<double>(values.size()) - 1.0;
  const auto excess = [&](double a) { return weighted_spread(values, psi, a) - target; };
  if (excess(0.0) <= 0.0) {
    return 0.0;
  }
  double high = psi.front();
  while (excess(high) > 0.0) {
    high *= 2.0;
  }
  std::uintmax_t steps = 200;
  const auto [low, up] = boost::math::tools::toms748_solve(
      excess, 0.0, high, boost::math::tools::eps_tolerance<double>(48), steps);
  return (low + up) / 2.0;
}

}  // namespace

Shrinkage shrink_values(const std::vector<double>& values,
                        const std::vector<double>& error_variances,
                        std::optional<double> between_variance) {
  check(values, error_variances, between_variance);
  Shrinkage result;
  result.spread_estimated = !between_variance;
  const double a = between_variance ? *between_variance : estimate_spread(values, error_variances);
  result.between_variance = a;
  result.common_value = common_value(values, error_variances, a);
  double information = 0.0;
  for (const double psi : error_variances) {
    information += 1.0 / (a + psi);
  }
  const auto k = static_cast<double>(values.size());
  const double spread_variance =
      result.spread_estimated ? 2.0 * k / (information * information) : 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double psi = error_variances[i];
    ShrunkValue shrunk;
    shrunk.raw = values[i];
    shrunk.weight = a / (a + psi);
    shrunk.value = shrunk.weight * values[i] + (1.0 - shrunk.weight) * result.common_value;
    shrunk.own_error = shrunk.weight * psi;
    shrunk.common_error = (1.0 - shrunk.weight) * (1.0 - shrunk.weight) / information;
    shrunk.spread_error = psi * psi / std::pow(a + psi, 3.0) * spread_variance;
    shrunk.standard_error =
        std::sqrt(shrunk.own_error + shrunk.common_error + 2.0 * shrunk.spread_error);
    result.values.push_back(shrunk);
  }
  return result;
}

}  // namespace maturity
