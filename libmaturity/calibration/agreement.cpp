#include "libmaturity/calibration/agreement.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstddef>
#include <string>

#include "libmaturity/calibration/joined_interval.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kUpperTail = 0.975;
constexpr double kLowerTail = 0.025;
constexpr std::size_t kFewestPairs = 3;

struct Pairs {
  std::vector<double> reference;
  std::vector<double> predicted;
  int left_out = 0;
};

Pairs whole_pairs(const std::vector<double>& reference, const std::vector<double>& predicted) {
  if (reference.size() != predicted.size()) {
    reject_argument("predicted", std::to_string(predicted.size()) + " values",
                    std::to_string(reference.size()) + ", one per reference value");
  }
  Pairs pairs;
  for (std::size_t i = 0; i < reference.size(); ++i) {
    if (std::isinf(reference[i]) || std::isinf(predicted[i])) {
      reject_argument("pair " + std::to_string(i + 1), "infinite", "a number, or missing");
    }
    if (std::isnan(reference[i]) || std::isnan(predicted[i])) {
      ++pairs.left_out;
      continue;
    }
    pairs.reference.push_back(reference[i]);
    pairs.predicted.push_back(predicted[i]);
  }
  if (pairs.reference.size() < kFewestPairs) {
    reject_argument("pairs", pairs.reference.size(), "at least 3 with both values");
  }
  return pairs;
}

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) {
    sum += value / static_cast<double>(values.size());
  }
  return sum;
}

struct Squares {
  double reference = 0.0;
  double predicted = 0.0;
  double both = 0.0;
};

Squares about_means(const Pairs& pairs, double reference_mean, double predicted_mean) {
  Squares squares;
  for (std::size_t i = 0; i < pairs.reference.size(); ++i) {
    const double r = pairs.reference[i] - reference_mean;
    const double p = pairs.predicted[i] - predicted_mean;
    squares.reference += r * r;
    squares.predicted += p * p;
    squares.both += r * p;
  }
  if (!(squares.reference > 0.0) || !(squares.predicted > 0.0)) {
    reject_argument(squares.reference > 0.0 ? "predicted" : "reference", "all values equal",
                    "values that differ");
  }
  return squares;
}

double student_point(double degrees) {
  return boost::math::quantile(boost::math::students_t(degrees), kUpperTail);
}

Bounds squared_correlation_interval(double correlation, int pairs) {
  if (pairs <= static_cast<int>(kFewestPairs) || std::abs(correlation) >= 1.0) {
    return {pairs <= static_cast<int>(kFewestPairs) ? 0.0 : 1.0, 1.0};
  }
  const double centre = std::atanh(std::abs(correlation));
  const double half =
      boost::math::quantile(boost::math::normal(), kUpperTail) / std::sqrt(pairs - 3.0);
  const double low = std::max(0.0, std::tanh(centre - half));
  const double high = std::tanh(centre + half);
  return {low * low, high * high};
}

void judge_slope(Agreement& result, const Squares& squares) {
  result.slope = squares.both / squares.predicted;
  const double residual =
      std::max(0.0, squares.reference - squares.both * squares.both / squares.predicted);
  const double degrees = result.pairs - 2.0;
  result.residual_sd = std::sqrt(residual / degrees);
  const double error = result.residual_sd / std::sqrt(squares.predicted);
  result.slope_t_limit = student_point(degrees);
  result.slope_interval = {result.slope - result.slope_t_limit * error,
                           result.slope + result.slope_t_limit * error};
  const double gap = std::abs(result.slope - 1.0);
  result.slope_t = gap > 0.0 ? gap / error : 0.0;
  result.slope_significant = result.slope_t > result.slope_t_limit;
}

}  // namespace

Bounds joined_interval(double bias, const Bounds& bias_interval, double variance,
                       const Bounds& variance_interval) {
  const auto square = [](double x) { return x * x; };
  const double nearest = bias_interval.low * bias_interval.high < 0.0
                             ? 0.0
                             : std::min(std::abs(bias_interval.low), std::abs(bias_interval.high));
  const double farthest = std::max(std::abs(bias_interval.low), std::abs(bias_interval.high));
  const double of_bias = square(bias);
  const double low = std::hypot(of_bias - square(nearest), variance - variance_interval.low);
  const double high = std::hypot(square(farthest) - of_bias, variance_interval.high - variance);
  return {std::sqrt(std::max(0.0, of_bias + variance - low)), std::sqrt(of_bias + variance + high)};
}

void set_joined_intervals(Agreement& agreement) {
  const auto square = [](double x) { return x * x; };
  // RMSEP divides by n, SEP by n - 1.
  const double share = (agreement.pairs - 1.0) / agreement.pairs;
  agreement.rmsep_interval = joined_interval(
      agreement.bias, agreement.bias_interval, share * square(agreement.sep),
      {share * square(agreement.sep_interval.low), share * square(agreement.sep_interval.high)});
  agreement.rpd_sep_interval = {agreement.reference_sd / agreement.sep_interval.high,
                                agreement.reference_sd / agreement.sep_interval.low};
}

Agreement agreement(const std::vector<double>& reference, const std::vector<double>& predicted) {
  const Pairs pairs = whole_pairs(reference, predicted);
  Agreement result;
  result.pairs = static_cast<int>(pairs.reference.size());
  result.left_out = pairs.left_out;
  const double n = result.pairs;
  const double reference_mean = mean_of(pairs.reference);
  const double predicted_mean = mean_of(pairs.predicted);
  const Squares squares = about_means(pairs, reference_mean, predicted_mean);

  result.bias = predicted_mean - reference_mean;
  double error_squares = 0.0;
  double about_bias = 0.0;
  for (std::size_t i = 0; i < pairs.reference.size(); ++i) {
    const double error = pairs.predicted[i] - pairs.reference[i];
    error_squares += error * error;
    about_bias += (error - result.bias) * (error - result.bias);
  }
  result.rmsep = std::sqrt(error_squares / n);
  result.sep = std::sqrt(about_bias / (n - 1.0));
  result.bias_limit = student_point(n - 1.0) * result.sep / std::sqrt(n);
  result.bias_interval = {result.bias - result.bias_limit, result.bias + result.bias_limit};
  result.bias_significant = std::abs(result.bias) > result.bias_limit;
  const boost::math::chi_squared chi(n - 1.0);
  result.sep_interval = {std::sqrt(about_bias / boost::math::quantile(chi, kUpperTail)),
                         std::sqrt(about_bias / boost::math::quantile(chi, kLowerTail))};
  judge_slope(result, squares);
  result.intercept = reference_mean - result.slope * predicted_mean;
  const double correlation = squares.both / std::sqrt(squares.reference * squares.predicted);
  result.r_squared = correlation * correlation;
  result.r_squared_interval = squared_correlation_interval(correlation, result.pairs);
  result.r_squared_identity = 1.0 - error_squares / squares.reference;
  result.reference_sd = std::sqrt(squares.reference / (n - 1.0));
  result.rpd_sep = result.reference_sd / result.sep;
  result.rpd_rmsep = result.reference_sd / result.rmsep;
  set_joined_intervals(result);
  return result;
}

double unexplained_error_limit(double calibration_error, int pairs, int degrees,
                               double confidence) {
  if (!(calibration_error > 0.0) || !std::isfinite(calibration_error)) {
    reject_argument("calibration_error", calibration_error, "above 0");
  }
  if (pairs < 2 || degrees < 1) {
    reject_argument("pairs, degrees", std::to_string(pairs) + ", " + std::to_string(degrees),
                    "at least 2 and 1");
  }
  if (!(confidence > 0.0 && confidence < 1.0)) {
    reject_argument("confidence", confidence, "between 0 and 1, both excluded");
  }
  const boost::math::fisher_f ratio(pairs - 1.0, degrees);
  return calibration_error * std::sqrt(boost::math::quantile(ratio, confidence));
}

}  // namespace maturity
