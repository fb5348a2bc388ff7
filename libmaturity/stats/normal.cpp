#include "libmaturity/stats/normal.h"

#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numbers>

namespace maturity {

namespace {
constexpr double kInverseSqrt2 = 0.70710678118654752440;
}  // namespace

double normal_cdf(double z) { return 0.5 * std::erfc(-z * kInverseSqrt2); }

double normal_density(double z) {
  return std::numbers::inv_sqrtpi * kInverseSqrt2 * std::exp(-0.5 * z * z);
}

double normal_quantile(double probability) {
  return boost::math::quantile(boost::math::normal(), probability);
}

}  // namespace maturity
