#include "libmaturity/stats/tolerance_limit.h"

#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check(int n, double share, double confidence) {
  if (n < 2) {
    reject_argument("n", n, "at least 2 values");
  }
  if (!(share > 0.0 && share < 1.0)) {
    reject_argument("share", share, "between 0 and 1, both excluded");
  }
  if (!(confidence > 0.0 && confidence < 1.0)) {
    reject_argument("confidence", confidence, "between 0 and 1, both excluded (0.95, not 95)");
  }
}

double normal_point(double probability) {
  return boost::math::quantile(boost::math::normal(), probability);
}

}  // namespace

double tolerance_factor(int n, double share, double confidence) {
  check(n, share, confidence);
  const double root = std::sqrt(static_cast<double>(n));
  const boost::math::non_central_t distribution(n - 1.0, normal_point(share) * root);
  return boost::math::quantile(distribution, confidence) / root;
}

double approximate_tolerance_factor(int n, double share, double confidence) {
  check(n, share, confidence);
  const double z_share = normal_point(share);
  const double z_confidence = normal_point(confidence);
  const double a = 1.0 - z_confidence * z_confidence / (2.0 * (n - 1.0));
  const double b = z_share * z_share - z_confidence * z_confidence / n;
  return (z_share + std::sqrt(z_share * z_share - a * b)) / a;
}

int distribution_free_sample_size(double share, double confidence) {
  check(2, share, confidence);
  int n = 1;
  double missed = share;
  while (1.0 - missed < confidence) {
    missed *= share;
    ++n;
  }
  return n;
}

double lower_tolerance_limit(const std::vector<double>& values, double share, double confidence) {
  const double factor = tolerance_factor(static_cast<int>(values.size()), share, confidence);
  const auto n = static_cast<double>(values.size());
  const double mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
  double squares = 0.0;
  for (const double value : values) {
    if (!std::isfinite(value)) {
      reject_argument("values", value, "finite values");
    }
    squares += (value - mean) * (value - mean);
  }
  return mean - factor * std::sqrt(squares / (n - 1.0));
}

}  // namespace maturity
