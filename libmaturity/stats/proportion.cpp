#include "libmaturity/stats/proportion.h"

#include <algorithm>
#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_counts(double count, double n) {
  if (!(n > 0.0) || !std::isfinite(n)) {
    reject_argument("n", n, "more than 0 units checked");
  }
  if (!(count >= 0.0 && count <= n)) {
    reject_argument("count", count, "at least 0 and at most the number checked");
  }
}

void check_open(const char* name, double value) {
  if (!(value > 0.0 && value < 1.0)) {
    reject_argument(name, value, "between 0 and 1, both excluded");
  }
}

double exact_lower(double count, double n, double tail) {
  return count <= 0.0 ? 0.0
                      : boost::math::quantile(
                            boost::math::beta_distribution<>(count, n - count + 1.0), tail);
}

double exact_upper(double count, double n, double tail) {
  return count >= n ? 1.0
                    : boost::math::quantile(boost::math::complement(
                          boost::math::beta_distribution<>(count + 1.0, n - count), tail));
}

Bounds score_interval(double count, double n, double level) {
  const double z = boost::math::quantile(boost::math::normal(), 0.5 + level / 2.0);
  const double p = count / n;
  const double middle = p + z * z / (2.0 * n);
  const double half = z * std::sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
  const double scale = 1.0 + z * z / n;
  Bounds bounds{std::max(0.0, (middle - half) / scale), std::min(1.0, (middle + half) / scale)};
  // Exactly 0 and 1 at the ends, where rounding leaves a trace.
  bounds.low = count <= 0.0 ? 0.0 : bounds.low;
  bounds.high = count >= n ? 1.0 : bounds.high;
  return bounds;
}

}  // namespace

Bounds proportion_interval(double count, double n, double level, ProportionMethod method) {
  check_counts(count, n);
  check_open("level", level);
  if (method == ProportionMethod::wilson) {
    return score_interval(count, n, level);
  }
  const double tail = (1.0 - level) / 2.0;
  return {exact_lower(count, n, tail), exact_upper(count, n, tail)};
}

double proportion_upper_bound(double count, double n, double confidence) {
  check_counts(count, n);
  check_open("confidence", confidence);
  return exact_upper(count, n, 1.0 - confidence);
}

double proportion_sample_size(double share, double half_width, double z) {
  check_open("share", share);
  check_open("half_width", half_width);
  if (!(z > 0.0) || !std::isfinite(z)) {
    reject_argument("z", z, "more than 0");
  }
  return z * z * share * (1.0 - share) / (half_width * half_width);
}

double proportion_sample_size(double share, double half_width, double z, double population) {
  if (!(population >= 1.0)) {
    reject_argument("population", population, "at least 1");
  }
  const double unlimited = proportion_sample_size(share, half_width, z);
  return unlimited / (1.0 + (unlimited - 1.0) / population);
}

}  // namespace maturity
